//! What a host hands a lifter, so that a device finds the server, knows its certificate and may pair once: an address,
//! a fingerprint and a code, as one line that a picture or a message can carry.
//!
//! `plinth:pair?at=https://192.168.1.20:8443&certificate=64 hexadecimal digits&code=ABCD-EFGH`. Parts that are not
//! known are passed over, so that a newer host may say more.

use std::fmt::{self, Write};
use std::net::{Ipv4Addr, Ipv6Addr};
use std::str::FromStr;

/// What the line begins with.
const SCHEME: &str = "plinth:pair?";
/// The longest line that is read.
const LONGEST: usize = 1_000;
/// The longest address.
const LONGEST_ADDRESS: usize = 300;
/// How long a code may be, without what is written between its letters.
const CODE: std::ops::RangeInclusive<usize> = 6..=32;

/// An invitation to pair, checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Invitation {
    /// The server: scheme, host and port, without a path. Plain HTTP only on the device itself.
    pub address: String,
    /// SHA-256 of the server's certificate; none where it has a public one, or on the device itself.
    pub certificate: Option<[u8; 32]>,
    /// The code, in capital letters and digits.
    pub code: String,
}

/// What is wrong with an invitation.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InvitationFault {
    /// It is no invitation.
    Form,
    /// The address.
    Address,
    /// The fingerprint of the certificate.
    Certificate,
    /// The code.
    Code,
}

impl InvitationFault {
    /// The field at fault.
    pub const fn field(self) -> &'static str {
        match self {
            Self::Form => "invitation",
            Self::Address => "address",
            Self::Certificate => "certificate",
            Self::Code => "code",
        }
    }

    /// What to do.
    pub const fn remedy(self) -> &'static str {
        match self {
            Self::Form => "copy the whole line from the host's screen; it begins with plinth:pair",
            Self::Address => {
                "write it as https://name:port, without a path; plain http serves on this device alone"
            }
            Self::Certificate => "write the 64 hexadecimal digits that the host shows, or leave it out",
            Self::Code => "write the letters and digits that the host shows",
        }
    }
}

impl fmt::Display for InvitationFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let reason = match self {
            Self::Form => "this is no invitation",
            Self::Address => "the address is none that a device would call",
            Self::Certificate => "the certificate's fingerprint is not one",
            Self::Code => "the code is not one",
        };
        write!(f, "{reason}; {}.", self.remedy())
    }
}

impl std::error::Error for InvitationFault {}

impl Invitation {
    /// An invitation from its parts, as they are typed: an empty fingerprint is none.
    ///
    /// # Errors
    /// The first part that is not one.
    pub fn new(address: &str, certificate: &str, code: &str) -> Result<Self, InvitationFault> {
        let certificate = match certificate.trim() {
            "" => None,
            text => Some(fingerprint(text).ok_or(InvitationFault::Certificate)?),
        };
        Ok(Self {
            address: checked_address(address.trim()).ok_or(InvitationFault::Address)?,
            certificate,
            code: checked_code(code).ok_or(InvitationFault::Code)?,
        })
    }

    /// The fingerprint as 64 hexadecimal digits.
    pub fn certificate_text(&self) -> Option<String> {
        self.certificate.as_ref().map(|bytes| {
            bytes.iter().fold(String::with_capacity(64), |mut text, byte| {
                let _ = write!(text, "{byte:02x}");
                text
            })
        })
    }
}

impl fmt::Display for Invitation {
    /// The line.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let at = self.address.replace('[', "%5B").replace(']', "%5D");
        write!(f, "{SCHEME}at={at}")?;
        if let Some(certificate) = self.certificate_text() {
            write!(f, "&certificate={certificate}")?;
        }
        write!(f, "&code={}", self.code)
    }
}

impl FromStr for Invitation {
    type Err = InvitationFault;

    fn from_str(text: &str) -> Result<Self, InvitationFault> {
        let text = text.trim();
        let head = text.get(..SCHEME.len()).ok_or(InvitationFault::Form)?;
        if text.len() > LONGEST || !head.eq_ignore_ascii_case(SCHEME) {
            return Err(InvitationFault::Form);
        }
        let (mut at, mut certificate, mut code) = (None, None, None);
        for part in text[SCHEME.len()..].split('&') {
            let (name, value) = part.split_once('=').ok_or(InvitationFault::Form)?;
            let place = match name {
                "at" => &mut at,
                "certificate" => &mut certificate,
                "code" => &mut code,
                _ => continue,
            };
            let value = unescaped(value).ok_or(InvitationFault::Form)?;
            if place.replace(value).is_some() {
                return Err(InvitationFault::Form);
            }
        }
        let (at, code) = (at.ok_or(InvitationFault::Address)?, code.ok_or(InvitationFault::Code)?);
        Self::new(&at, &certificate.unwrap_or_default(), &code)
    }
}

/// Percent-escapes (RFC 3986) undone.
fn unescaped(text: &str) -> Option<String> {
    let mut out = Vec::with_capacity(text.len());
    let mut bytes = text.bytes();
    while let Some(byte) = bytes.next() {
        if byte == b'%' {
            let mut digit = || (bytes.next()? as char).to_digit(16);
            out.push((digit()? * 16 + digit()?) as u8);
        } else {
            out.push(byte);
        }
    }
    String::from_utf8(out).ok()
}

/// Scheme, host and port in small letters; nothing else.
fn checked_address(text: &str) -> Option<String> {
    let text = text.strip_suffix('/').unwrap_or(text).to_ascii_lowercase();
    let (scheme, authority) = text.split_once("://")?;
    if text.len() > LONGEST_ADDRESS {
        return None;
    }
    let (host, port) = match authority.strip_prefix('[') {
        Some(rest) => {
            let (inside, after) = rest.split_once(']')?;
            inside.parse::<Ipv6Addr>().ok()?;
            (inside, (!after.is_empty()).then(|| after.strip_prefix(':')).map(|p| p.ok_or(())))
        }
        None => match authority.split_once(':') {
            Some((host, port)) => (host, Some(Ok(port))),
            None => (authority, None),
        },
    };
    if let Some(port) = port {
        let port = port.ok()?;
        let number: u16 = port.parse().ok()?;
        if number == 0 || !port.bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
    }
    let named = |host: &str| {
        !host.is_empty()
            && host.split('.').all(|label| {
                !label.is_empty()
                    && label.len() <= 63
                    && !label.starts_with('-')
                    && !label.ends_with('-')
                    && label.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-')
            })
    };
    let six = host.parse::<Ipv6Addr>();
    if six.is_err() && !named(host) {
        return None;
    }
    let here = host == "localhost"
        || six.is_ok_and(|ip| ip.is_loopback())
        || host.parse::<Ipv4Addr>().is_ok_and(|ip| ip.is_loopback());
    match scheme {
        "https" => Some(text),
        "http" if here => Some(text),
        _ => None,
    }
}

/// A code's letters as they were meant: hyphens and spaces go, small letters and those that look like digits are read as
/// such. Both sides read a code so.
pub fn meant(code: &str) -> impl Iterator<Item = char> {
    code.chars().filter(|c| !matches!(c, '-' | ' ')).map(|c| match c.to_ascii_uppercase() {
        'I' | 'L' => '1',
        'O' => '0',
        c => c,
    })
}

/// Capital letters and digits; white space of any kind goes.
fn checked_code(text: &str) -> Option<String> {
    if text.len() > LONGEST {
        return None;
    }
    let code: String = text.split_whitespace().flat_map(meant).collect();
    let plain = code.bytes().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit());
    (plain && CODE.contains(&code.len())).then_some(code)
}

/// 64 hexadecimal digits, with or without colons and spaces between them.
fn fingerprint(text: &str) -> Option<[u8; 32]> {
    if text.len() > LONGEST {
        return None;
    }
    let digits: Vec<u32> = text
        .chars()
        .filter(|c| !c.is_whitespace() && *c != ':')
        .map(|c| c.to_digit(16))
        .collect::<Option<_>>()?;
    let bytes: Vec<u8> = digits.chunks_exact(2).map(|pair| (pair[0] * 16 + pair[1]) as u8).collect();
    (digits.len() == 64).then_some(bytes)?.try_into().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_read_back_as_it_was_written() {
        for (address, certificate, code) in [
            ("https://192.168.1.20:8443", "ab".repeat(32), "ABCD2345"),
            ("https://gym.example", String::new(), "ABCDEF"),
            ("https://[fe80::1]:8443", "0F".repeat(32), "7777-7777"),
            ("http://127.0.0.1:80", String::new(), "ab cd-ef"),
        ] {
            let invitation = Invitation::new(address, &certificate, code).unwrap();
            assert_eq!(invitation.to_string().parse(), Ok(invitation.clone()), "{invitation}");
            assert!(invitation.to_string().bytes().all(|b| b.is_ascii_graphic() && b != b'[' && b != b'"'));
        }
        let read: Invitation =
            "PLINTH:PAIR?code=oil-ABC&newer=1&at=HTTPS%3A%2F%2FGym.Example:443/".parse().unwrap();
        assert_eq!((read.address.as_str(), read.code.as_str()), ("https://gym.example:443", "011ABC"));
    }

    #[test]
    fn a_part_that_is_none_is_named() {
        use InvitationFault::{Address, Certificate, Code, Form};
        let ok = "ABCDEF";
        for address in [
            "",
            "gym.example",
            "ftp://gym.example",
            "http://192.168.1.20",
            "https://",
            "https://gym.example/path",
            "https://user@gym.example",
            "https://gym.example:0",
            "https://gym.example:99999",
            "https://gym.example:+1",
            "https://[::1",
            "https://[::1]x",
            "https://::1",
            "https://-a.example",
            "https://a..example",
            "https://gym.example?x",
            "https://g\u{fc}m.example",
        ] {
            assert_eq!(Invitation::new(address, "", ok), Err(Address), "{address}");
        }
        for certificate in ["ab", &"ab".repeat(33), &"zz".repeat(32), &"a".repeat(63)] {
            assert_eq!(Invitation::new("https://a", certificate, ok), Err(Certificate), "{certificate}");
        }
        for code in ["", "ABC", "ABCDE!", &"A".repeat(33), "\u{c4}BCDEFG"] {
            assert_eq!(Invitation::new("https://a", "", code), Err(Code), "{code}");
        }
        for line in [
            "",
            "plinth:",
            "plinth:pair",
            "https://a",
            "plinth:pair?",
            "plinth:pair?at",
            "plinth:pair?at=%zz&code=ABCDEF",
            "plinth:pair?at=https://a&code=ABCDEF&code=ABCDEF",
            "\u{fc}\u{fc}\u{fc}\u{fc}\u{fc}\u{fc}\u{fc}",
        ] {
            assert_eq!(line.parse::<Invitation>(), Err(Form), "{line}");
        }
        assert_eq!("plinth:pair?code=ABCDEF".parse::<Invitation>(), Err(Address));
        assert_eq!("plinth:pair?at=https://a".parse::<Invitation>(), Err(Code));
        assert_eq!(format!("plinth:pair?{}", "a=1&".repeat(400)).parse::<Invitation>(), Err(Form));
        for fault in [Form, Address, Certificate, Code] {
            assert!(fault.to_string().contains(fault.remedy()));
        }
    }
}
