//! Ids: the place of a thing in the list that holds it, typed so that a board cannot be taken for a joint.

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident,)+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub u32);

        impl $name {
            /// The id of the thing at `index` of its list.
            ///
            /// Lists are bounded far below `u32::MAX` when files are read.
            #[allow(clippy::cast_possible_truncation)]
            pub const fn at(index: usize) -> Self {
                Self(index as u32)
            }

            /// The index in the list.
            pub const fn index(self) -> usize {
                self.0 as usize
            }
        }
    )+};
}

ids! {
    /// A baseboard of a layout.
    BoardId,
    /// A joint between two boards.
    JointId,
    /// A device of a layout.
    DeviceId,
    /// A drive of a layout.
    DriveId,
    /// A frog of a layout.
    FrogId,
    /// A lever of a layout.
    LeverId,
    /// A route of a layout.
    RouteId,
    /// A supply the user owns.
    OwnedSupplyId,
    /// A kind of part.
    KindId,
    /// A part of the catalogue.
    PartId,
    /// An offer of the catalogue.
    OfferId,
    /// A supplier of the catalogue.
    SupplierId,
    /// A scheme of the catalogue.
    SchemeId,
    /// A row of the `Assemblies` sheet.
    RuleId,
    /// A row of the `Tasks` sheet.
    TaskId,
    /// A controller of an assignment.
    ControllerId,
    /// A feed: one voltage and waveform that something draws from.
    FeedId,
    /// A need of a take-off.
    NeedId,
}
