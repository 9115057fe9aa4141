//! What benches share.

/// Whether a bench is only tried, as `cargo test --benches` and `cargo bench -- --test` do.
pub fn is_tried() -> bool {
    let said = |word: &str| std::env::args().any(|argument| argument == word);
    !said("--bench") || said("--test")
}
