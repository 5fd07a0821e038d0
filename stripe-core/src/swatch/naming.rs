//! Names for colours, as one would call them across a table.

use crate::colour::Colour;

/// Colours that have a short name, each by an example of it.
const NAMES: [(&str, [u8; 3]); 32] = [
    ("white", [250, 250, 250]),
    ("cream", [242, 234, 216]),
    ("light grey", [200, 200, 200]),
    ("grey", [140, 140, 140]),
    ("dark grey", [74, 74, 74]),
    ("black", [22, 22, 22]),
    ("red", [190, 40, 45]),
    ("dark red", [115, 30, 40]),
    ("coral", [225, 115, 95]),
    ("pink", [232, 165, 178]),
    ("orange", [222, 125, 45]),
    ("rust", [160, 75, 42]),
    ("brown", [104, 72, 50]),
    ("dark brown", [60, 42, 34]),
    ("tan", [196, 165, 120]),
    ("beige", [220, 200, 170]),
    ("yellow", [240, 210, 80]),
    ("mustard", [196, 156, 45]),
    ("light green", [168, 208, 160]),
    ("green", [65, 140, 80]),
    ("dark green", [32, 78, 54]),
    ("olive", [120, 120, 60]),
    ("sage", [150, 165, 135]),
    ("teal", [32, 122, 125]),
    ("turquoise", [85, 190, 190]),
    ("light blue", [165, 198, 228]),
    ("blue", [52, 98, 172]),
    ("grey blue", [100, 125, 150]),
    ("navy", [30, 44, 88]),
    ("purple", [104, 62, 140]),
    ("plum", [95, 45, 80]),
    ("lilac", [190, 168, 210]),
];

/// The name of each colour; colours that share one are numbered, equal colours alike.
pub(super) fn names(colours: &[Colour]) -> Vec<String> {
    let plain = |colour: Colour| {
        let far = |rgb: [u8; 3]| colour.difference(Colour::new(rgb[0], rgb[1], rgb[2]));
        let nearest = NAMES.iter().min_by(|a, b| far(a.1).total_cmp(&far(b.1)));
        nearest.map_or("band", |named| named.0)
    };
    let mut seen: Vec<(Colour, &str)> = vec![];
    for &colour in colours {
        if !seen.iter().any(|&(known, _)| known == colour) {
            seen.push((colour, plain(colour)));
        }
    }
    let name = |colour: Colour| {
        let (_, word) = seen
            .iter()
            .find(|s| s.0 == colour)
            .copied()
            .unwrap_or((colour, "band"));
        let alike: Vec<Colour> = seen.iter().filter(|s| s.1 == word).map(|s| s.0).collect();
        match alike.iter().position(|&a| a == colour) {
            Some(i) if alike.len() > 1 => format!("{word} {}", i + 1),
            _ => word.to_owned(),
        }
    };
    colours.iter().map(|&colour| name(colour)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn colours_are_called_what_they_are() {
        let all: Vec<Colour> = ["#1f3a5f", "#f2ead8", "#10306a", "#1f3a5f"]
            .map(|text| text.parse().unwrap())
            .into();
        assert_eq!(names(&all), ["navy 1", "cream", "navy 2", "navy 1"]);
    }
}
