//! placeholder
/// placeholder
pub fn skip_or_fail(reason: &str) {
    assert!(
        std::env::var("CI").as_deref() != Ok("true"),
        "skipped, which is a failure in CI: {reason}"
    );
    println!("skipped: {reason}");
}
