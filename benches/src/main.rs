//! Speed and quality, measured beside references.

fn main() {}
