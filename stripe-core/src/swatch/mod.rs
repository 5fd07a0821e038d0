//! The stripe of a fabric, read from a scan or a photograph.
//!
//! Stages, each in a file of its own:
//! 1. `container` asks the file what it is, whether it is whole, and its resolution; `decode`
//!    makes pixels of it, within limits; `raster` averages them down in linear light.
//! 2. `direction` finds the way across the stripe roughly: the direction in which lines of the
//!    picture are most alike. `lines` compares slabs along the stripe: the line through
//!    their shifts is the lean, what remains is the bow.
//! 3. `repeat` takes the autocorrelation of the slopes of the profile across the stripe, and
//!    fits windows of one repeat to the folded profile: repeat, its uncertainty, and drift.
//! 4. `fold` separates light from fabric; `segment` cuts the folded repeat into bands; `bands`
//!    fits their edges, colours and the smear of the picture together.
//! 5. `naming` names the colours, `balance` finds out whether the stripe is meant to be the
//!    same from both sides; `reading` is what comes out, `picture` shows it beside the photograph,
//!    `straight` cuts one repeat out of it, straightened and evenly lit.
//!
//! "Across" is from left to right where the stripes run up and down the picture, and from the
//! bottom to the top where they run across it: as phases count on the fabric.

#![allow(
    clippy::needless_range_loop,
    reason = "three colours in step through several arrays read best by their index"
)]

mod balance;
mod bands;
mod container;
mod decode;
mod direction;
mod error;
mod fold;
mod limits;
mod lines;
mod naming;
mod options;
mod picture;
mod profile;
mod raster;
mod read;
mod reading;
mod repeat;
mod scale;
mod segment;
mod straight;

pub use error::SwatchError;
pub use limits::{MAX_BYTES, MAX_DECODED_BYTES, MAX_PIXELS};
pub use options::{Crop, Options, Scale};
pub use picture::side_by_side;
pub use read::read;
pub use reading::{Measure, ReadBand, Reading, Warning};
pub use straight::straightened;
