//! Sample fabrics, motifs and projects; every number invented.

use stripe_core::colour::Colour;
use stripe_core::fabric::{Band, Fabric, Run, Stripe};
use stripe_core::internals::rng::Rng;
use stripe_core::length::Unit;
use stripe_core::motif::{Fan, Making, Motif, Part, Spokes, Tip};
use stripe_core::project::Project;

/// Clearly different colours.
pub const COLOURS: [Colour; 5] = [
    Colour::new(20, 40, 90),
    Colour::new(240, 235, 220),
    Colour::new(190, 50, 40),
    Colour::new(60, 140, 120),
    Colour::new(230, 170, 60),
];

/// Bands from widths and colour numbers.
pub fn bands(widths: &[(f64, usize)]) -> Vec<Band> {
    widths
        .iter()
        .map(|&(width_mm, colour)| Band {
            width_mm,
            colour: COLOURS[colour],
            name: format!("colour {colour}"),
        })
        .collect()
}

/// The habits of making of the samples.
pub const MAKING: Making = Making {
    turn_under_mm: 4.7625,
    seam_mm: 6.35,
    tuck_under_mm: 0.0,
    gap_mm: 1.5,
    stripe_tolerance_mm: 0.0,
};

/// A striped fabric 1067 mm wide.
pub fn fabric(stripe: Stripe) -> Fabric {
    Fabric {
        may_rotate_deg: vec![0.0, 180.0],
        ..Fabric::striped("deck", 1067.0, stripe)
    }
}

/// A fan on the sample fabric, its stripes vertical, its offset free.
pub fn part(fan: Fan) -> Part {
    Part::new("fan", "deck", fan)
}

/// A project of one motif.
pub fn project(fabric: Fabric, part: Part, copies: usize) -> Project {
    Project {
        kits: 1,
        title: "sample".to_owned(),
        unit: Unit::Millimetre,
        money: "$".to_owned(),
        making: MAKING,
        fabrics: vec![fabric],
        quilts: vec![],
        motifs: vec![Motif {
            name: "wheel".to_owned(),
            code: None,
            ground: Default::default(),
            copies,
            parts: vec![part],
        }],
    }
}

/// Any stripe: lengthwise or crosswise, square or leaning, balanced or not.
pub fn any_stripe(rng: &mut Rng) -> Stripe {
    let run = rng.pick(&[Run::Lengthwise, Run::Crosswise]);
    let lean = if rng.once_in(2) {
        0.0
    } else {
        rng.real(-3.0, 3.0)
    };
    let mut widths: Vec<(f64, usize)> = (0..rng.whole(2, 4))
        .map(|i| (rng.real(4.0, 22.0), i))
        .collect();
    if rng.once_in(2) {
        // A palindrome: the middle bands again, backwards.
        let back: Vec<_> = widths[1..widths.len() - 1].iter().rev().copied().collect();
        widths.extend(back);
    }
    Stripe::try_new(run, lean, rng.real(-20.0, 60.0), bands(&widths)).expect("a sound stripe")
}

/// Any fan that can be drawn.
pub fn any_fan(rng: &mut Rng) -> Fan {
    loop {
        let rim_mm = rng.real(45.0, 120.0);
        let hub_mm = if rng.once_in(4) {
            0.0
        } else {
            rng.real(0.1, 0.35) * rim_mm
        };
        let root_mm = rng.real(hub_mm / rim_mm + 0.1, 0.7) * rim_mm;
        let spokes = rng.once_in(2).then(|| Spokes {
            per_wedge: rng.whole(1, 4),
            root_mm,
            root_width_mm: rng.real(0.1, 0.7) * root_mm,
            tip_width_mm: rng.real(4.0, 20.0),
            tip: rng.pick(&[Tip::Flat, Tip::Round, Tip::Pointed]),
        });
        let fan = Fan {
            from_deg: rng.real(-180.0, 180.0),
            sweep_deg: rng.pick(&[90.0, 180.0, 270.0, 360.0, 137.0]),
            wedges: rng.whole(1, 8),
            hub_mm,
            rim_mm,
            spokes,
        };
        if fan.check().is_ok() {
            return fan;
        }
    }
}
