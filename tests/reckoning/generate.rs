//! Random projects, as the text of a file and as the numbers that were written into it.

use std::fmt::Write as _;
use stripe_core::internals::rng::Rng;

/// A stripe as it was written (mm).
pub struct Striped {
    /// Direction across the stripes (degrees), from the fabric's x axis.
    pub normal_deg: f64,
    pub start: f64,
    /// Widths of the bands and the number of each one's colour.
    pub bands: Vec<(f64, usize)>,
}

impl Striped {
    pub fn repeat(&self) -> f64 {
        self.bands.iter().map(|band| band.0).sum()
    }
}

/// How a fabric is sold (mm).
pub struct Sold {
    pub price: f64,
    pub per: f64,
    pub step: f64,
    pub squaring: f64,
    pub shrinkage: f64,
}

/// A fabric; `stripe` is none on plain fabric.
pub struct Fabric {
    pub name: &'static str,
    pub width: f64,
    pub both_faces: bool,
    pub one_way: bool,
    pub stripe: Option<Striped>,
    pub sold: Option<Sold>,
}

/// Spokes of a wedge (mm).
pub struct Spokes {
    pub count: usize,
    pub root: f64,
    pub root_width: f64,
    pub tip_width: f64,
    pub pointed: bool,
}

/// One layer: a fan (mm, degrees).
pub struct Part {
    pub name: &'static str,
    pub fabric: usize,
    pub from: f64,
    pub sweep: f64,
    pub wedges: usize,
    pub hub: f64,
    pub rim: f64,
    pub spokes: Option<Spokes>,
    pub turn: f64,
    pub meet: &'static str,
    pub ends: &'static str,
    pub stripes: &'static str,
    pub across: f64,
    pub at: f64,
    pub offset: Option<f64>,
}

pub struct Motif {
    pub name: &'static str,
    pub copies: usize,
    pub parts: Vec<Part>,
}

/// The quilt around (mm), cut sizes.
pub struct Quilt {
    pub strips: usize,
    pub fabrics: Vec<usize>,
    pub strip_width: f64,
    pub strip_length: f64,
    pub level: bool,
    pub borders: Vec<(f64, usize, &'static str)>,
    /// Fabric, strip width, extra.
    pub binding: Option<(usize, f64, f64)>,
    /// Fabric, overhang.
    pub backing: Option<(usize, f64)>,
}

pub struct Job {
    pub text: String,
    pub turn: f64,
    pub seam: f64,
    pub under: f64,
    pub clear: f64,
    pub fabrics: Vec<Fabric>,
    pub motifs: Vec<Motif>,
    pub quilt: Option<Quilt>,
}

/// Millimetres of the unit, and how fine its numbers are written.
struct Scale {
    unit: &'static str,
    mm: f64,
    grain: f64,
}

impl Scale {
    /// A length between two (mm), as it is written: a number of the unit, exactly.
    fn length(&self, rng: &mut Rng, low: f64, high: f64) -> f64 {
        let least = (low / self.mm / self.grain).ceil() as usize;
        let most = ((high / self.mm / self.grain) as usize).max(least);
        rng.whole(least, most) as f64 * self.grain * self.mm
    }

    fn shown(&self, mm: f64) -> String {
        format!("{}", (mm / self.mm / self.grain).round() * self.grain)
    }
}

impl Job {
    pub fn new(seed: u64) -> Self {
        let mut rng = Rng::new(seed);
        let scale = rng.pick(&[("mm", 1.0, 0.5), ("cm", 10.0, 0.125), ("in", 25.4, 0.0625)]);
        let scale = Scale {
            unit: scale.0,
            mm: scale.1,
            grain: scale.2,
        };
        let fabrics = any_fabrics(&mut rng, &scale);
        let seam = scale.length(&mut rng, 5.0, 9.0);
        let mut job = Self {
            text: String::new(),
            turn: scale.length(&mut rng, 3.0, 8.0),
            seam,
            under: if rng.once_in(2) {
                0.0
            } else {
                scale.length(&mut rng, 2.0, 6.0)
            },
            clear: scale.length(&mut rng, 1.0, 4.0),
            motifs: (0..rng.whole(1, 2))
                .map(|i| any_motif(i, &mut rng, &scale, &fabrics))
                .collect(),
            quilt: rng.once_in(2).then(|| any_quilt(&mut rng, &scale, seam)),
            fabrics,
        };
        job.text = job.write(&scale);
        job
    }

    fn write(&self, scale: &Scale) -> String {
        let mm = |length: f64| scale.shown(length);
        let mut text = format!(
            "title = \"reckoned\"\nunit = \"{}\"\n[making]\nturn_under = {}\nseam = {}\ntuck_under = {}\ngap = {}\n",
            scale.unit,
            mm(self.turn),
            mm(self.seam),
            mm(self.under),
            mm(self.clear)
        );
        for fabric in &self.fabrics {
            write_fabric(&mut text, fabric, &mm);
        }
        for motif in &self.motifs {
            let _ = writeln!(text, "[motif.{}]\ncopies = {}", motif.name, motif.copies);
            for part in &motif.parts {
                self.write_part(&mut text, motif, part, &mm);
            }
        }
        if let Some(quilt) = &self.quilt {
            self.write_quilt(&mut text, quilt, &mm);
        }
        text
    }

    fn write_part(
        &self,
        text: &mut String,
        motif: &Motif,
        part: &Part,
        mm: &dyn Fn(f64) -> String,
    ) {
        let fabric = &self.fabrics[part.fabric];
        let _ = writeln!(
            text,
            "[[motif.{}.part]]\nname = \"{}\"\nfabric = \"{}\"\nshape = \"fan\"\nfrom = {}\nsweep = {}\n\
             wedges = {}\nhub = {}\nrim = {}\nrotate = {}\nmeet = \"{}\"\nends = \"{}\"",
            motif.name,
            part.name,
            fabric.name,
            part.from,
            part.sweep,
            part.wedges,
            mm(part.hub),
            mm(part.rim),
            part.turn,
            part.meet,
            part.ends
        );
        if let Some(spokes) = &part.spokes {
            let _ = writeln!(
                text,
                "spokes = {}\nroot = {}\nroot_width = {}\ntip_width = {}\ntip = \"{}\"",
                spokes.count,
                mm(spokes.root),
                mm(spokes.root_width),
                mm(spokes.tip_width),
                if spokes.pointed { "pointed" } else { "flat" }
            );
        }
        if fabric.stripe.is_some() {
            let _ = writeln!(text, "stripes = \"{}\"", part.stripes);
            match part.stripes {
                "through" => writeln!(text, "stripe_angle = {}", part.across),
                "rings" => writeln!(text, "at = {}", mm(part.at)),
                _ => Ok(()),
            }
            .expect("text takes all");
            if let Some(offset) = part.offset {
                let _ = writeln!(text, "offset = {}", mm(offset));
            }
        }
    }

    fn write_quilt(&self, text: &mut String, quilt: &Quilt, mm: &dyn Fn(f64) -> String) {
        let fabrics: Vec<String> = quilt
            .fabrics
            .iter()
            .map(|&i| format!("\"{}\"", self.fabrics[i].name))
            .collect();
        let _ = writeln!(
            text,
            "[quilt.top]\n[quilt.top.field]\nfabrics = [{}]\nstrips = {}\nwidth = {}\nlength = {}\nrun = \"{}\"",
            fabrics.join(", "),
            quilt.strips,
            mm(quilt.strip_width),
            mm(quilt.strip_length),
            if quilt.level {
                "horizontal"
            } else {
                "vertical"
            }
        );
        for (i, (depth, fabric, corners)) in quilt.borders.iter().enumerate() {
            let _ = writeln!(
                text,
                "[[quilt.top.border]]\nname = \"border {i}\"\nfabric = \"{}\"\ndepth = {}\ncorners = \"{corners}\"",
                self.fabrics[*fabric].name,
                mm(*depth)
            );
        }
        let size = super::sewn::sizes(quilt, self.seam)[0];
        for (row, motif) in self.motifs.iter().enumerate() {
            // One motif in each half of the field's short way, its copies along the long way.
            let spots: Vec<String> = (0..motif.copies)
                .map(|copy| {
                    let along = size[0].max(size[1]) * (copy as f64 + 0.5) / motif.copies as f64;
                    let beside = size[0].min(size[1]) * (row as f64 + 0.5) / 2.0;
                    let (x, y) = if size[0] > size[1] {
                        (along, beside)
                    } else {
                        (beside, along)
                    };
                    format!("[{}, {}]", mm(x), mm(y))
                })
                .collect();
            let _ = writeln!(
                text,
                "[[quilt.top.place]]\nmotif = \"{}\"\nat = [{}]",
                motif.name,
                spots.join(", ")
            );
        }
        if let Some((fabric, strip, extra)) = quilt.binding {
            let _ = writeln!(
                text,
                "[quilt.top.binding]\nfabric = \"{}\"\nstrip = {}\nextra = {}",
                self.fabrics[fabric].name,
                mm(strip),
                mm(extra)
            );
        }
        if let Some((fabric, overhang)) = quilt.backing {
            let _ = writeln!(
                text,
                "[quilt.top.backing]\nfabric = \"{}\"\noverhang = {}",
                self.fabrics[fabric].name,
                mm(overhang)
            );
        }
    }
}

fn write_fabric(text: &mut String, fabric: &Fabric, mm: &dyn Fn(f64) -> String) {
    let faces = if fabric.both_faces {
        "both"
    } else {
        "right side"
    };
    let _ = writeln!(
        text,
        "[fabric.{}]\nwidth = {}\nfaces = \"{faces}\"\none_way = {}",
        fabric.name,
        mm(fabric.width),
        fabric.one_way
    );
    match &fabric.stripe {
        None => text.push_str("colour = \"#808080\"\n"),
        Some(stripe) => {
            let crosswise = stripe.normal_deg > 45.0;
            let run = if crosswise { "crosswise" } else { "lengthwise" };
            let lean = stripe.normal_deg - if crosswise { 90.0 } else { 0.0 };
            let bands: Vec<String> = stripe
                .bands
                .iter()
                .map(|(width, colour)| {
                    format!(
                        "{{ name = \"c{colour}\", width = {}, colour = \"#{:06x}\" }}",
                        mm(*width),
                        0x30_20_10 * (colour + 1)
                    )
                })
                .collect();
            let _ = writeln!(
                text,
                "[fabric.{}.stripe]\nrun = \"{run}\"\nlean = {lean}\nstart = {}\nbands = [{}]",
                fabric.name,
                mm(stripe.start),
                bands.join(", ")
            );
        }
    }
    if let Some(sold) = &fabric.sold {
        let _ = writeln!(
            text,
            "[fabric.{}.sold]\nprice = {}\nper = {}\nstep = {}\nsquaring = {}\nshrinkage = \"{} %\"",
            fabric.name,
            sold.price,
            mm(sold.per),
            mm(sold.step),
            mm(sold.squaring),
            sold.shrinkage * 100.0
        );
    }
}

fn any_fabrics(rng: &mut Rng, scale: &Scale) -> Vec<Fabric> {
    let mut fabrics = vec![];
    for name in ["reed", "loam"] {
        let stripe = (name == "reed").then(|| {
            let mut bands: Vec<(f64, usize)> = (0..rng.whole(2, 4))
                .map(|i| (scale.length(rng, 6.0, 25.0), i))
                .collect();
            if rng.once_in(2) {
                let back: Vec<_> = bands[1..bands.len() - 1].iter().rev().copied().collect();
                bands.extend(back);
            }
            let lean = if rng.once_in(3) {
                rng.pick(&[-2.0, -0.5, 1.0, 3.0])
            } else {
                0.0
            };
            Striped {
                normal_deg: lean + rng.pick(&[0.0, 0.0, 90.0]),
                start: scale.length(rng, 0.0, 30.0),
                bands,
            }
        });
        let sold = (!rng.once_in(4)).then(|| Sold {
            price: rng.whole(100, 3000) as f64 / 100.0,
            per: scale.length(rng, 500.0, 1000.0),
            step: scale.length(rng, 20.0, 250.0),
            squaring: scale.length(rng, 10.0, 60.0),
            shrinkage: rng.pick(&[0.0, 0.03, 0.05]),
        });
        fabrics.push(Fabric {
            name,
            width: scale.length(rng, 600.0, 1100.0),
            both_faces: rng.once_in(2),
            one_way: stripe.is_some() && rng.once_in(4),
            stripe,
            sold,
        });
    }
    fabrics
}

fn any_motif(number: usize, rng: &mut Rng, scale: &Scale, fabrics: &[Fabric]) -> Motif {
    let sweep = rng.pick(&[360.0, 360.0, 180.0, 90.0, 270.0]);
    let from = rng.pick(&[0.0, 0.0, 15.0, -90.0]);
    let rim = scale.length(rng, 50.0, 105.0);
    let hub = if rng.once_in(3) {
        0.0
    } else {
        scale.length(rng, 0.2 * rim, 0.35 * rim)
    };
    let wedges = rng.whole(1, 6);
    let fan = any_fan(rng, scale, (sweep, wedges, hub, rim));
    let repeat = fabrics[0].stripe.as_ref().map_or(0.0, Striped::repeat);
    let mut parts = vec![Part {
        name: "wheel",
        fabric: usize::from(rng.once_in(4)),
        from,
        sweep,
        wedges,
        hub,
        rim,
        spokes: fan,
        turn: rng.pick(&[0.0, 0.0, 22.5, 40.0]),
        meet: rng.pick(&["both turned under", "seam", "one over the other"]),
        ends: rng.pick(&["turned under", "seam"]),
        stripes: rng.pick(&["through", "rays", "rings"]),
        across: rng.pick(&[0.0, 90.0, 30.0]),
        at: scale.length(rng, hub, rim),
        offset: rng.once_in(2).then(|| scale.length(rng, 0.0, 0.9 * repeat)),
    }];
    if rng.once_in(2) {
        parts.push(Part {
            name: "cap",
            fabric: 1,
            from,
            sweep,
            wedges: 1,
            hub: 0.0,
            rim: scale.length(rng, hub + 6.0, hub + 14.0),
            spokes: None,
            turn: parts[0].turn,
            meet: "both turned under",
            ends: parts[0].ends,
            stripes: "through",
            across: 0.0,
            at: 0.0,
            offset: None,
        });
    }
    Motif {
        name: ["gull", "tern"][number],
        copies: rng.whole(1, 3),
        parts,
    }
}

/// Spokes that stand apart: a flat or pointed tip narrower than its share of the rim.
fn any_fan(rng: &mut Rng, scale: &Scale, fan: (f64, usize, f64, f64)) -> Option<Spokes> {
    let (sweep, wedges, hub, rim) = fan;
    let count = rng.whole(1, 3);
    let cell = (sweep / wedges as f64 / count as f64).to_radians().min(2.0);
    let root = scale.length(rng, 0.5 * rim, 0.65 * rim);
    let widest = 0.7 * cell * root;
    (root > hub && widest > 12.0 && rng.once_in(2)).then(|| Spokes {
        count,
        root,
        root_width: scale.length(rng, 6.0, widest.min(40.0)),
        tip_width: scale.length(rng, 4.0, widest.min(30.0)),
        pointed: rng.once_in(2),
    })
}

fn any_quilt(rng: &mut Rng, scale: &Scale, seam: f64) -> Quilt {
    let strips = rng.whole(1, 4);
    let mut corners = || rng.pick(&["sides first", "top first", "mitred"]);
    let first = [corners(), corners()];
    Quilt {
        strips,
        fabrics: if rng.once_in(2) { vec![1] } else { vec![1, 0] },
        strip_width: scale.length(rng, 1000.0 / strips as f64, 1100.0 / strips as f64),
        strip_length: scale.length(rng, 490.0, 590.0),
        level: rng.once_in(3),
        borders: first[..rng.whole(0, 2)]
            .iter()
            .map(|&corners| (scale.length(rng, 40.0 + 2.0 * seam, 90.0), 1, corners))
            .collect(),
        binding: rng.once_in(2).then(|| {
            (
                1,
                scale.length(rng, 40.0, 70.0),
                scale.length(rng, 100.0, 300.0),
            )
        }),
        backing: rng.once_in(2).then(|| (1, scale.length(rng, 20.0, 100.0))),
    }
}
