//! Anyone named, the hands that write, and their devices.

use super::kinds;
use crate::shape::Shape;
use crate::{Id, When};

kinds! {
    /// Anyone named: owner, yard, surveyor, gas chemist.
    Person, needs("name") {
        /// The name.
        name: Option<String> = Shape::Text;
        /// The trade or the part played.
        trade: Option<String> = Shape::Text;
        /// The licence, with its number and issuer.
        licence: Option<String> = Shape::Text;
        /// Until when the licence holds.
        licence_until: Option<When> = Shape::When;
        /// Whether they are independent of owner and seller.
        independent: Option<bool> = Shape::YesNo;
        /// What else.
        words: Option<String> = Shape::Prose;
    }

    /// A person who writes in the log.
    Hand, needs("name") {
        /// The name that stands beside entries.
        name: Option<String> = Shape::Text;
        /// The person.
        person: Option<Id> = Shape::Entry(&["person"]);
        /// What they are to the boat: owner, partner.
        part: Option<String> = Shape::Text;
    }

    /// A device that a hand writes on.
    Device, needs("name") {
        /// What it is called: *phone*, *laptop at home*.
        name: Option<String> = Shape::Text;
        /// Whose it is.
        hand: Option<Id> = Shape::Entry(&["hand"]);
        /// The software and its version.
        software: Option<String> = Shape::Text;
        /// The device that this one is a copy of, where a backup was restored.
        copy_of: Option<Id> = Shape::Entry(&["device"]);
        /// The public key with which it signs: 64 hexadecimal digits (Ed25519). The device writes it by itself.
        key: Option<String> = Shape::Text;
    }

    /// A device's mark over its history up to a moment.
    Signature, needs("device", "count", "key", "value") {
        /// The device whose history it covers.
        device: Option<Id> = Shape::Entry(&["device"]);
        /// Up to and with this of its running counts.
        count: Option<u64> = Shape::Count;
        /// The public key.
        key: Option<String> = Shape::Text;
        /// The signature.
        value: Option<String> = Shape::Text;
    }
}
