//! The command `dryfit`.
fn main() {}
