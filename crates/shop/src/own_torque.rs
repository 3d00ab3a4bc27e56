//! The shop's own torques: a figure for a sort of fastener, with name and date, shown beside the built-in one.

use crate::check::TorqueRange;
use crate::fastener::{Fastener, FastenerId};

/// A torque of the shop for a sort of fastener.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnTorque {
    /// The fastener.
    pub fastener: FastenerId,
    /// The range; a single figure has equal ends.
    pub range: TorqueRange,
    /// Who decided it.
    pub by: String,
    /// When, as `2026-11-20`.
    pub on: String,
    /// Why, if it was said.
    pub why: Option<String>,
}

/// All that is known of the torque of a fastener, and which of it counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TorqueSaid<'a> {
    /// The range of the table; none where only the part can say it.
    pub built_in: Option<TorqueRange>,
    /// The shop's own.
    pub own: Option<&'a OwnTorque>,
    /// What the part or its leaflet says.
    pub printed: Option<TorqueRange>,
}

impl Fastener {
    /// Everything that is said of the torque of this fastener; of several own figures the last written counts.
    ///
    /// ```
    /// use quantity::Torque;
    /// use shop::{Fastener, FastenerId, OwnTorque, TorqueRange};
    ///
    /// let range = |least, most| TorqueRange { least: Torque::newton_metres(least), most: Torque::newton_metres(most) };
    /// let own = [OwnTorque {
    ///     fastener: FastenerId("pedals"),
    ///     range: range(38.0, 40.0),
    ///     by: "head of the workshop".to_owned(),
    ///     on: "2026-11-20".to_owned(),
    ///     why: None,
    /// }];
    /// let pedals = Fastener::find(FastenerId("pedals")).unwrap();
    /// // The own figure counts before the table, and the part before both. All three are there to be shown.
    /// assert_eq!(pedals.torque(&own, None).counts(), Some(range(38.0, 40.0)));
    /// assert_eq!(pedals.torque(&own, Some(range(30.0, 35.0))).counts(), Some(range(30.0, 35.0)));
    /// assert_eq!(pedals.torque(&own, None).built_in, Some(range(35.0, 43.0)));
    /// ```
    pub fn torque<'a>(&self, own: &'a [OwnTorque], printed: Option<TorqueRange>) -> TorqueSaid<'a> {
        let own = own.iter().rev().find(|own| own.fastener == self.id);
        TorqueSaid { built_in: self.range(), own, printed }
    }
}

impl TorqueSaid<'_> {
    /// The range that counts: the part's, else the shop's, else the table's.
    pub fn counts(&self) -> Option<TorqueRange> {
        self.printed.or(self.own.map(|own| own.range)).or(self.built_in)
    }
}
