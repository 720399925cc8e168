//! The addresses of a home network, and no others.

use std::net::{IpAddr, Ipv4Addr};

use crate::failure::{Done, Failure};

/// What a home network's addresses look like: the private ones of RFC 1918, the link's own of RFC 3927, and this machine itself.
///
/// An address, the number of leading bits that count, and where it is set aside.
pub(super) const RANGES: &[([u8; 4], u8)] = &[
    ([10, 0, 0, 0], 8),
    ([172, 16, 0, 0], 12),
    ([192, 168, 0, 0], 16),
    ([169, 254, 0, 0], 16),
    ([127, 0, 0, 0], 8),
];

/// Names that never lead out of a home: RFC 6762 (`local`), RFC 8375 (`home.arpa`), RFC 6761 (`localhost`).
pub(super) const NAMES: &[&str] = &["local", "home.arpa", "localhost"];

/// Whether an address can only be reached within a home network, or from this machine.
#[must_use]
pub fn is_local(address: Ipv4Addr) -> bool {
    let bits = address.to_bits();
    RANGES.iter().any(|(range, n_bits)| {
        let mask = u32::MAX << (32 - u32::from(*n_bits));
        bits & mask == u32::from_be_bytes(*range)
    })
}

/// Takes an address or a name of a home network.
///
/// # Errors
///
/// A mistake when it leads elsewhere.
pub fn local(name: &str) -> Done<()> {
    let hint = "serve on an address like 192.168.1.20, or a name that ends in .local or .home.arpa";
    let is_good = match name.parse::<IpAddr>() {
        Ok(IpAddr::V4(address)) => is_local(address),
        Ok(IpAddr::V6(_)) => false,
        Err(_) => {
            let is_word = |word: &str| {
                !word.is_empty()
                    && word.len() <= 63
                    && word.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-')
            };
            name.len() <= 253
                && name.split('.').all(is_word)
                && NAMES
                    .iter()
                    .any(|end| name == *end || name.ends_with(&format!(".{end}")))
        }
    };
    if is_good {
        return Ok(());
    }
    Err(Failure::mistake(
        format!("{name:?} is no address or name of a home network"),
        hint,
    ))
}

/// The addresses that this machine has in home networks now, itself left out, in order.
///
/// # Errors
///
/// The environment's when the system does not tell them, or there is none.
pub fn addresses() -> Done<Vec<Ipv4Addr>> {
    let all = if_addrs::get_if_addrs().map_err(|cause| {
        Failure::environment(
            format!("the system does not tell this machine's addresses: {cause}"),
            "name the address yourself: --home ADDRESS",
        )
    })?;
    let mut found: Vec<Ipv4Addr> = all
        .into_iter()
        .filter_map(|interface| match interface.ip() {
            IpAddr::V4(address) => Some(address),
            IpAddr::V6(_) => None,
        })
        .filter(|address| is_local(*address) && !address.is_loopback())
        .collect();
    found.sort_unstable();
    found.dedup();
    if found.is_empty() {
        return Err(Failure::environment(
            "this machine has no address in a home network",
            "connect it to the network that the phone is in; without --home the site is served on this machine alone",
        ));
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    //! What is local and what is not.

    use super::*;

    #[test]
    fn home_addresses_and_names_are_taken_and_others_refused() {
        for good in [
            "10.1.2.3",
            "172.16.0.1",
            "172.31.255.254",
            "192.168.1.20",
            "169.254.7.7",
            "127.0.0.1",
            "boat.local",
            "shed.home.arpa",
            "localhost",
        ] {
            assert!(local(good).is_ok(), "{good}");
        }
        for bad in [
            "203.0.113.5",
            "172.32.0.1",
            "192.169.0.1",
            "11.0.0.1",
            "0.0.0.0",
            "::1",
            "2001:db8::1",
            "example.org",
            "local.example.org",
            "notlocal",
            "a b.local",
            ".local",
            "",
        ] {
            assert!(local(bad).is_err(), "{bad}");
        }
    }
}
