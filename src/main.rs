//! The command line of Beatwright.

fn main() {}
