//! Moments of a recording, and how captions write them.

use std::fmt;

/// Seconds from the beginning of a recording, exact to a thousandth.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Seconds(u64);

/// How a kind of caption file writes a moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Clock {
    /// `02:05.000` or `00:02:05.000`.
    WebVtt,
    /// `00:02:05,000`.
    SubRip,
}

impl Seconds {
    /// From thousandths of a second.
    pub fn from_thousandths(thousandths: u64) -> Seconds {
        Seconds(thousandths)
    }

    /// In thousandths of a second.
    pub fn thousandths(self) -> u64 {
        self.0
    }

    /// A moment as an author writes it in a block: `2:05`, `1:02:05`, `2:05.5`.
    pub fn parse(text: &str) -> Option<Seconds> {
        let (clock, fraction) = text.trim().split_once('.').unwrap_or((text.trim(), "0"));
        if fraction.len() > 3 {
            return None;
        }
        let fraction = number(fraction)? * 10u64.pow(3 - fraction.len() as u32);
        let parts: Vec<&str> = clock.split(':').collect();
        let short = |part: &str| part.len() <= 2;
        match parts[..] {
            [minutes, seconds] if minutes.len() <= 3 && seconds.len() == 2 => {
                assembled(0, number(minutes)?, number(seconds)?, fraction)
            }
            [hours, minutes, seconds] if short(hours) && minutes.len() == 2 && seconds.len() == 2 => {
                let minutes = number(minutes).filter(|minutes| *minutes < 60)?;
                assembled(number(hours)?, minutes, number(seconds)?, fraction)
            }
            _ => None,
        }
    }

    /// As a student reads it: `2:05`, `1:02:05`. A broken second is left off.
    pub fn short(self) -> String {
        let [hours, minutes, seconds] = self.parts();
        if hours == 0 { format!("{minutes}:{seconds:02}") } else { format!("{hours}:{minutes:02}:{seconds:02}") }
    }

    /// As WebVTT writes it: `00:02:05.000`.
    pub fn web_vtt(self) -> String {
        let [hours, minutes, seconds] = self.parts();
        format!("{hours:02}:{minutes:02}:{seconds:02}.{:03}", self.0 % 1000)
    }

    /// In seconds alone, as the time of a media fragment: `125`, `125.5`.
    ///
    /// Source: Media Fragments URI 1.0 (W3C), normal play time.
    pub fn npt(self) -> String {
        let text = format!("{}.{:03}", self.0 / 1000, self.0 % 1000);
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    }

    fn parts(self) -> [u64; 3] {
        let seconds = self.0 / 1000;
        [seconds / 3600, seconds / 60 % 60, seconds % 60]
    }
}

/// `0:01:12.500`
impl fmt::Display for Seconds {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [hours, minutes, seconds] = self.parts();
        write!(out, "{hours}:{minutes:02}:{seconds:02}.{:03}", self.0 % 1000)
    }
}

impl Clock {
    /// Reads a moment.
    ///
    /// Source: WebVTT (W3C), "WebVTT timestamp": at least two figures of hours, which may be left out, two of minutes
    /// and seconds, three after the point. For SRT there is no standard; this is common practice.
    pub fn read(self, text: &str) -> Option<Seconds> {
        let mark = if self == Clock::WebVtt { '.' } else { ',' };
        let (clock, fraction) = text.split_once(mark)?;
        let parts: Vec<&str> = clock.split(':').collect();
        let (hours, minutes, seconds) = match (self, &parts[..]) {
            (Clock::WebVtt, [minutes, seconds]) => ("00", *minutes, *seconds),
            (Clock::WebVtt, [hours, minutes, seconds]) if (2..=4).contains(&hours.len()) => {
                (*hours, *minutes, *seconds)
            }
            (Clock::SubRip, [hours, minutes, seconds]) if (1..=4).contains(&hours.len()) => {
                (*hours, *minutes, *seconds)
            }
            _ => return None,
        };
        if minutes.len() != 2 || seconds.len() != 2 || fraction.len() != 3 {
            return None;
        }
        let minutes = number(minutes).filter(|minutes| *minutes < 60)?;
        assembled(number(hours)?, minutes, number(seconds)?, number(fraction)?)
    }

    /// How to write one.
    pub fn example(self) -> &'static str {
        match self {
            Clock::WebVtt => "00:01:12.500",
            Clock::SubRip => "00:01:12,500",
        }
    }
}

fn number(digits: &str) -> Option<u64> {
    let plain = !digits.is_empty() && digits.len() <= 4 && digits.bytes().all(|byte| byte.is_ascii_digit());
    plain.then(|| digits.parse().ok()).flatten()
}

fn assembled(hours: u64, minutes: u64, seconds: u64, thousandths: u64) -> Option<Seconds> {
    (seconds < 60).then(|| Seconds(((hours * 60 + minutes) * 60 + seconds) * 1000 + thousandths))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn web_vtt_moments_are_read_as_the_standard_has_them() {
        for (text, thousandths) in [
            ("00:00.000", Some(0)),
            ("01:12.500", Some(72_500)),
            ("00:01:12.500", Some(72_500)),
            ("100:00:00.001", Some(360_000_001)),
            ("1:12.500", None),
            ("00:01:12,500", None),
            ("00:01:12.5", None),
            ("00:60:00.000", None),
            ("00:60.000", None),
            ("+0:01.000", None),
            ("1:00:01.000", None),
            ("", None),
        ] {
            assert_eq!(Clock::WebVtt.read(text).map(Seconds::thousandths), thousandths, "{text}");
        }
    }

    #[test]
    fn srt_moments_have_a_comma_and_hours() {
        assert_eq!(Clock::SubRip.read("00:01:12,500").map(Seconds::thousandths), Some(72_500));
        for text in ["01:12,500", "00:01:12.500", "00:01:72,500", "00:01:12,50", "aa:01:12,500"] {
            assert_eq!(Clock::SubRip.read(text), None, "{text}");
        }
    }

    #[test]
    fn what_an_author_writes_reads_back() {
        for (text, thousandths, short, npt) in [
            ("2:05", 125_000, "2:05", "125"),
            ("0:00", 0, "0:00", "0"),
            ("75:10", 4_510_000, "1:15:10", "4510"),
            ("1:02:05", 3_725_000, "1:02:05", "3725"),
            (" 2:05.5 ", 125_500, "2:05", "125.5"),
        ] {
            let read = Seconds::parse(text).unwrap();
            assert_eq!((read.thousandths(), read.short().as_str(), read.npt().as_str()), (thousandths, short, npt));
        }
        for text in ["", "2", "2:5", "2:75", "1:75:00", "2.05", "two", "2:05.1234", "2:05.", "-2:05", "½:05", "1:2:3:4"]
        {
            assert_eq!(Seconds::parse(text), None, "{text}");
        }
        assert_eq!(Seconds(3_725_040).web_vtt(), "01:02:05.040");
        assert_eq!(Seconds(72_500).to_string(), "0:01:12.500");
    }
}
