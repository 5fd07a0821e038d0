//! Makes the fonts of the drawings ready: DejaVu Sans without its tables of pairs and
//! ligatures. Without the feature `draw` there is nothing to make, and no font is needed.

fn main() -> std::io::Result<()> {
    println!("cargo::rerun-if-changed=build.rs");
    #[cfg(feature = "draw")]
    font::write()?;
    Ok(())
}

#[cfg(feature = "draw")]
mod font {
    use std::io;
    use std::path::Path;

    /// What of a font a letter needs to be found, measured and drawn.
    const LETTER_TABLES: [&[u8; 4]; 10] = [
        b"OS/2", b"cmap", b"glyf", b"head", b"hhea", b"hmtx", b"loca", b"maxp", b"name", b"post",
    ];

    /// Writes both weights into `OUT_DIR`, where `draw/lettering.rs` takes them from.
    pub(crate) fn write() -> io::Result<()> {
        let folder = std::env::var_os("OUT_DIR").ok_or(io::ErrorKind::NotFound)?;
        for (name, whole) in [
            ("regular.ttf", dejavu::sans::regular()),
            ("bold.ttf", dejavu::sans::bold()),
        ] {
            let broken = || io::Error::other(format!("{name} is no sound font"));
            let lean = without_shaping(whole).ok_or_else(broken)?;
            std::fs::write(Path::new(&folder).join(name), lean)?;
        }
        Ok(())
    }

    /// The font without its tables of pairs and ligatures: words come out exactly as wide as
    /// their letters together, and the font, which is parsed anew for every line of words, is
    /// parsed in no time. Nothing where the bytes are no font.
    ///
    /// # Source
    /// The table directory of OpenType: a head of 12 bytes, then 16 bytes a table (tag,
    /// checksum, offset, length), sorted by tag, tables on multiples of four bytes.
    fn without_shaping(font: &[u8]) -> Option<Vec<u8>> {
        let number = |at: usize| -> Option<usize> {
            let bytes = font.get(at..at + 4)?.try_into().ok()?;
            usize::try_from(u32::from_be_bytes(bytes)).ok()
        };
        let count = number(4)? >> 16;
        let is_kept = |at: &usize| {
            let tag = font.get(*at..at + 4);
            LETTER_TABLES.iter().any(|kept| tag == Some(&kept[..]))
        };
        let records = (0..count).map(|i| 12 + 16 * i);
        let kept: Vec<usize> = records.filter(is_kept).collect();
        let mut lean = font.get(..12)?.to_vec();
        lean[4..6].copy_from_slice(&u16::try_from(kept.len()).ok()?.to_be_bytes());
        let mut tables: Vec<u8> = Vec::new();
        let begin = 12 + 16 * kept.len();
        for at in kept {
            let (offset, length) = (number(at + 8)?, number(at + 12)?);
            let moved = u32::try_from(begin + tables.len()).ok()?;
            lean.extend_from_slice(font.get(at..at + 8)?);
            lean.extend_from_slice(&moved.to_be_bytes());
            lean.extend_from_slice(font.get(at + 12..at + 16)?);
            tables.extend_from_slice(font.get(offset..offset + length)?);
            tables.resize(tables.len().next_multiple_of(4), 0);
        }
        lean.extend(tables);
        Some(lean)
    }
}
