//! What bands leave beside them in one piece.

use super::Cuts;

/// Bands cut one behind another from a stretch that is slit along the selvages: they
/// take what is left of the slit, and what is right of it stays in one piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Remnant {
    /// From the left selvage to the slit (mm).
    pub slit_mm: f64,
    /// Length of the stretch (mm).
    pub length_mm: f64,
    /// Indices into the bands that are cut from it.
    pub bands: Vec<usize>,
}

/// One remnant for each width that some band leaves, the largest first.
pub fn remnants(cuts: &Cuts, fabric_mm: f64) -> Vec<Remnant> {
    let mut slits: Vec<f64> = cuts.bands.iter().map(super::CutBand::used_mm).collect();
    slits.sort_by(f64::total_cmp);
    slits.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
    let mut remnants: Vec<Remnant> = slits
        .into_iter()
        .filter(|&slit_mm| slit_mm < fabric_mm - 1.0)
        .map(|slit_mm| {
            let fits = |&i: &usize| cuts.bands[i].used_mm() <= slit_mm + 1e-6;
            let bands: Vec<usize> = (0..cuts.bands.len()).filter(fits).collect();
            let lengths = bands
                .iter()
                .map(|&i| cuts.bands[i].along_mm * cuts.bands[i].times as f64);
            Remnant {
                slit_mm,
                length_mm: lengths.sum(),
                bands,
            }
        })
        .collect();
    let area = |remnant: &Remnant| (fabric_mm - remnant.slit_mm) * remnant.length_mm;
    remnants.sort_by(|a, b| area(b).total_cmp(&area(a)));
    remnants
}
