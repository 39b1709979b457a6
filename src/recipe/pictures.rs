//! Whether a file is the picture that its name promises, whole and of a size that a phone can show.
//!
//! Only heads are read: layout of PNG by RFC 2083, of JPEG by ITU-T T.81 annex B, of GIF by its specification 89a, of
//! WebP by RFC 9649.

use super::drawings;

/// The largest picture in pixels: eight thousand each way. A phone needs four bytes for each.
const MOST_PIXELS: u64 = 64_000_000;

/// What keeps a picture from being shown, in words that follow "the picture … ".
pub fn fault(path: &str, bytes: &[u8]) -> Option<String> {
    let end = path.rsplit_once('.').map_or("", |(_, end)| end).to_ascii_lowercase();
    if end == "svg" {
        return drawings::fault(bytes);
    }
    let (kind, read) = reader(&end)?;
    match read(bytes) {
        Head::Other => Some(format!("is no {kind} file, though its name says so")),
        Head::Cut => Some("ends in its middle: it was not copied whole".to_owned()),
        Head::Size(0, _) | Head::Size(_, 0) => Some("has no width or no height".to_owned()),
        Head::Size(width, height) if u64::from(width) * u64::from(height) > MOST_PIXELS => {
            Some(format!("measures {width} × {height} pixels, more than a phone can show"))
        }
        Head::Size(..) => None,
    }
}

/// Width and height in pixels of a picture that is no drawing, by the end of its file's name in small letters.
pub fn size(end: &str, bytes: &[u8]) -> Option<(u32, u32)> {
    let (_, read) = reader(end)?;
    match read(bytes) {
        Head::Size(width, height) if width > 0 && height > 0 => Some((width, height)),
        Head::Size(..) | Head::Other | Head::Cut => None,
    }
}

/// The name of a kind of picture, and what reads its head.
fn reader(end: &str) -> Option<(&'static str, Reader)> {
    Some(match end {
        "png" => ("PNG", png),
        "jpg" | "jpeg" => ("JPEG", jpeg),
        "gif" => ("GIF", gif),
        "webp" => ("WebP", webp),
        _ => return None,
    })
}

/// Reads the head of a file.
type Reader = fn(&[u8]) -> Head;

/// What the head of a file says.
enum Head {
    /// It is another kind of file.
    Other,
    /// The file ends too early.
    Cut,
    /// Width and height in pixels.
    Size(u32, u32),
}

fn big(bytes: &[u8], at: usize, count: usize) -> Option<u32> {
    let digits = bytes.get(at..at.checked_add(count)?)?;
    Some(digits.iter().fold(0, |value, digit| value << 8 | u32::from(*digit)))
}

fn little(bytes: &[u8], at: usize, count: usize) -> Option<u32> {
    let digits = bytes.get(at..at.checked_add(count)?)?;
    Some(digits.iter().rev().fold(0, |value, digit| value << 8 | u32::from(*digit)))
}

fn png(bytes: &[u8]) -> Head {
    if !bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        return Head::Other;
    }
    let (Some(width), Some(height)) = (big(bytes, 16, 4), big(bytes, 20, 4)) else { return Head::Cut };
    let mut at = 8;
    while let (Some(length), Some(name)) = (big(bytes, at, 4), bytes.get(at + 4..at + 8)) {
        // Length, name and checksum take four bytes each.
        let next = at + 12 + length as usize;
        if name == b"IEND" {
            return if next <= bytes.len() { Head::Size(width, height) } else { Head::Cut };
        }
        at = next;
    }
    Head::Cut
}

fn jpeg(bytes: &[u8]) -> Head {
    if !bytes.starts_with(&[0xff, 0xd8, 0xff]) {
        return Head::Other;
    }
    let mut size = None;
    let mut at = 2;
    while let (Some(0xff), Some(&mark)) = (bytes.get(at).copied(), bytes.get(at + 1)) {
        match mark {
            // Filling, and marks that stand alone.
            0xff => at += 1,
            0x01 | 0xd0..=0xd8 => at += 2,
            0xd9 => break,
            _ => {
                let Some(length) = big(bytes, at + 2, 2) else { return Head::Cut };
                if matches!(mark, 0xc0..=0xcf) && !matches!(mark, 0xc4 | 0xc8 | 0xcc) {
                    size = big(bytes, at + 7, 2).zip(big(bytes, at + 5, 2));
                }
                at += 2 + length as usize;
                if mark == 0xda {
                    // What was drawn follows; it ends with the mark of the end.
                    let rest = bytes.get(at..).unwrap_or_default();
                    let ends = rest.windows(2).any(|pair| pair == [0xff, 0xd9]);
                    return size.filter(|_| ends).map_or(Head::Cut, |(width, height)| Head::Size(width, height));
                }
            }
        }
    }
    Head::Cut
}

fn gif(bytes: &[u8]) -> Head {
    if !bytes.starts_with(b"GIF87a") && !bytes.starts_with(b"GIF89a") {
        return Head::Other;
    }
    match little(bytes, 6, 2).zip(little(bytes, 8, 2)) {
        Some((width, height)) if bytes.len() > 13 && bytes.contains(&0x3b) => Head::Size(width, height),
        _ => Head::Cut,
    }
}

fn webp(bytes: &[u8]) -> Head {
    if !bytes.starts_with(b"RIFF") || bytes.get(8..12) != Some(b"WEBP") {
        return Head::Other;
    }
    let whole = little(bytes, 4, 4).is_some_and(|length| bytes.len() as u64 >= u64::from(length) + 8);
    let size = match bytes.get(12..16) {
        Some(b"VP8X") => little(bytes, 24, 3).zip(little(bytes, 27, 3)).map(|(width, height)| (width + 1, height + 1)),
        Some(b"VP8L") => little(bytes, 21, 4).map(|bits| ((bits & 0x3fff) + 1, (bits >> 14 & 0x3fff) + 1)),
        Some(b"VP8 ") => {
            little(bytes, 26, 2).zip(little(bytes, 28, 2)).map(|(width, height)| (width & 0x3fff, height & 0x3fff))
        }
        Some(_) => return Head::Other,
        None => None,
    };
    size.filter(|_| whole).map_or(Head::Cut, |(width, height)| Head::Size(width, height))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One grey pixel, as its format's specification lays it out.
    fn png_of(width: u32, height: u32) -> Vec<u8> {
        let mut file = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".to_vec();
        file.extend(width.to_be_bytes().iter().chain(&height.to_be_bytes()));
        file.extend(b"\x08\0\0\0\0\0\0\0\0");
        file.extend(b"\0\0\0\x01IDAT\0\0\0\0\0\0\0\0\0IEND\xaeB`\x82");
        file
    }

    fn jpeg_of(width: u16, height: u16) -> Vec<u8> {
        let mut file = b"\xff\xd8\xff\xe0\0\x04\0\0\xff\xc0\0\x0b\x08".to_vec();
        file.extend(height.to_be_bytes().iter().chain(&width.to_be_bytes()));
        file.extend(b"\x01\x01\x11\0\xff\xda\0\x02\0\0\xff\xd9");
        file
    }

    #[test]
    fn whole_pictures_of_usual_size_pass() {
        let mut gif = b"GIF89a\x02\0\x01\0\0\0\0".to_vec();
        gif.push(0x3b);
        let webp = b"RIFF\x16\0\0\0WEBPVP8X\x0a\0\0\0\0\0\0\0\x01\0\0\x02\0\0".to_vec();
        for (path, bytes) in
            [("a.png", png_of(640, 480)), ("a.JPG", jpeg_of(640, 480)), ("a.gif", gif), ("a.webp", webp)]
        {
            assert_eq!(fault(path, &bytes), None, "{path}");
            let whole = bytes.len();
            let shorter = if path.ends_with("gif") { 9 } else { whole - 1 };
            assert!(fault(path, &bytes[..shorter]).is_some_and(|fault| fault.contains("middle")), "{path}");
            assert!(fault(path, b"MZ not a picture").is_some_and(|fault| fault.contains("is no")), "{path}");
        }
    }

    #[test]
    fn heads_that_claim_too_much_are_refused() {
        for (width, height) in [(1 << 31, 1), (u32::MAX, u32::MAX), (8001, 8001), (0, 5), (5, 0)] {
            assert!(fault("a.png", &png_of(width, height)).is_some(), "{width} × {height}");
        }
        assert!(fault("a.jpg", &jpeg_of(65535, 65535)).is_some_and(|fault| fault.contains("65535 × 65535")));
    }

    #[test]
    fn no_bytes_stop_the_reader() {
        for start in ["\u{89}", "PNG", "RIFF", "GIF89a", "\u{ff}\u{d8}"] {
            for end in ["png", "jpg", "gif", "webp", "svg"] {
                fault(&format!("a.{end}"), start.as_bytes());
            }
        }
        let mut huge = b"\x89PNG\r\n\x1a\n".to_vec();
        huge.extend([0xff; 64]);
        assert!(fault("a.png", &huge).is_some());
    }
}
