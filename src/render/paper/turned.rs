//! Which way up a photograph lies: cameras write down how they were held and leave the turning to whoever shows it.

/// How a photograph is turned, as EXIF 2.32 numbers it under `Orientation` (tag 274): from 1, as it lies, to 8.
pub(super) fn orientation(jpeg: &[u8]) -> u16 {
    exif(jpeg).and_then(of_exif).filter(|turn| (1..=8).contains(turn)).unwrap_or(1)
}

/// What a JPEG file carries as EXIF, from the mark of its byte order on (ITU-T T.81 annex B; EXIF 2.32, 4.7.2).
fn exif(jpeg: &[u8]) -> Option<&[u8]> {
    let mut at = 2;
    loop {
        let head = jpeg.get(at..at + 4)?;
        if head[0] != 0xff || head[1] == 0xda {
            return None;
        }
        let length = usize::from(u16::from_be_bytes([head[2], head[3]]));
        if head[1] == 0xe1
            && let Some(found) = jpeg.get(at + 4..at + 2 + length).and_then(|part| part.strip_prefix(b"Exif\0\0"))
        {
            return Some(found);
        }
        at += 2 + length.max(2);
    }
}

/// The first directory of TIFF 6.0: a count, then twelve bytes an entry: tag, type, count, value.
fn of_exif(exif: &[u8]) -> Option<u16> {
    let two: fn([u8; 2]) -> u16 = match exif.get(..4)? {
        b"II*\0" => u16::from_le_bytes,
        b"MM\0*" => u16::from_be_bytes,
        _ => return None,
    };
    let short = |at: usize| Some(two(exif.get(at..at.checked_add(2)?)?.try_into().ok()?));
    // Directories lie in the first 64 KiB of a block that is no longer than that.
    let (first, second) = (usize::from(short(4)?), usize::from(short(6)?));
    let place = if exif[0] == b'I' { first | second << 16 } else { first << 16 | second };
    let count = usize::from(short(place)?);
    let entry = (0..count).map(|row| place + 2 + 12 * row).find(|at| short(*at) == Some(274))?;
    short(entry + 8)
}

/// The affine map from a square of side 1 on itself that turns a picture upright: `[a, b, c, d, e, f]` takes `(x, y)` to
/// `(a x + c y + e, b x + d y + f)`, with `y` going down.
pub(super) fn upright(orientation: u16) -> [f32; 6] {
    match orientation {
        2 => [-1.0, 0.0, 0.0, 1.0, 1.0, 0.0],
        3 => [-1.0, 0.0, 0.0, -1.0, 1.0, 1.0],
        4 => [1.0, 0.0, 0.0, -1.0, 0.0, 1.0],
        5 => [0.0, 1.0, 1.0, 0.0, 0.0, 0.0],
        6 => [0.0, 1.0, -1.0, 0.0, 1.0, 0.0],
        7 => [0.0, -1.0, -1.0, 0.0, 1.0, 1.0],
        8 => [0.0, -1.0, 1.0, 0.0, 0.0, 1.0],
        _ => [1.0, 0.0, 0.0, 1.0, 0.0, 0.0],
    }
}

/// Whether width and height change places.
pub(super) fn lies_on_its_side(orientation: u16) -> bool {
    orientation >= 5
}

#[cfg(test)]
mod tests {
    use super::*;

    fn jpeg(order: &[u8], entry: &[u8]) -> Vec<u8> {
        let is_little = order == b"II*\0";
        let number = |value: u16| if is_little { value.to_le_bytes() } else { value.to_be_bytes() };
        let mut tiff = order.to_vec();
        tiff.extend(if is_little { [8, 0, 0, 0] } else { [0, 0, 0, 8] });
        tiff.extend(number(1));
        tiff.extend(entry);
        let mut file = b"\xff\xd8\xff\xe0\0\x04\0\0\xff\xe1".to_vec();
        file.extend((tiff.len() as u16 + 8).to_be_bytes());
        file.extend(b"Exif\0\0");
        file.extend(tiff);
        file.extend(b"\xff\xda\0\x02\0\0\xff\xd9");
        file
    }

    #[test]
    fn both_orders_of_bytes_are_read() {
        let big = jpeg(b"MM\0*", &[1, 18, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0]);
        let little = jpeg(b"II*\0", &[18, 1, 3, 0, 1, 0, 0, 0, 8, 0, 0, 0]);
        assert_eq!((orientation(&big), orientation(&little)), (6, 8));
        for file in [&big, &little] {
            for end in 0..file.len() {
                assert!((1..=8).contains(&orientation(&file[..end])));
            }
        }
        assert_eq!(orientation(&jpeg(b"MM\0*", &[1, 18, 0, 3, 0, 0, 0, 1, 0, 9, 0, 0])), 1);
        assert_eq!(orientation(b"\xff\xd8\xff\xe1\0\0\xff\xe1\0\x01"), 1);
    }

    /// Where the upper left corner of what the camera saw has to be found: rows and columns of the table in EXIF 2.32
    /// (row 0 of a picture of orientation 6 is its right side, column 0 its top).
    #[test]
    fn row_and_column_nought_come_where_the_table_says() {
        for (turn, row, column) in [
            (1, "top", "left"),
            (2, "top", "right"),
            (3, "bottom", "right"),
            (4, "bottom", "left"),
            (5, "left", "top"),
            (6, "right", "top"),
            (7, "right", "bottom"),
            (8, "left", "bottom"),
        ] {
            let [a, b, c, d, e, f] = upright(turn);
            let side = |(x, y): (f32, f32)| match (a * x + c * y + e, b * x + d * y + f) {
                (x, y) if y == 0.0 && x == 0.5 => "top",
                (x, y) if y == 1.0 && x == 0.5 => "bottom",
                (x, y) if x == 0.0 && y == 0.5 => "left",
                (x, y) if x == 1.0 && y == 0.5 => "right",
                other => panic!("{other:?}"),
            };
            assert_eq!((side((0.5, 0.0)), side((0.0, 0.5))), (row, column), "{turn}");
        }
    }
}
