//! The threads that plans are made on.

use crate::failure::Failure;
use rayon::{ThreadPool, ThreadPoolBuilder};

/// Starts so many threads, or as many as the machine has.
pub(crate) fn start(count: Option<u16>) -> Result<ThreadPool, Failure> {
    ThreadPoolBuilder::new()
        .num_threads(count.map_or(0, usize::from))
        .build()
        .map_err(|wrong| {
            let help = "use fewer --threads";
            Failure::new(format!("cannot start the threads: {wrong}"), help)
        })
}
