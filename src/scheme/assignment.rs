//! A scheme for every drive, and the controllers that go with them.

use crate::catalogue::Catalogue;
use crate::id::{DriveId, SchemeId};
use crate::layout::{Layout, Spot};

/// A controller to be fitted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Controller {
    /// The scheme it serves.
    pub scheme: SchemeId,
    /// Where it stands: the coordinate-wise median of what it serves.
    pub spot: Spot,
    /// The channels it must have.
    pub channels: u32,
    /// The drives it serves, by channel.
    pub drives: Vec<DriveId>,
}

impl Controller {
    /// Channels left free.
    pub fn free(&self) -> u32 {
        self.channels.saturating_sub(u32::try_from(self.drives.len()).unwrap_or(u32::MAX))
    }
}

/// A scheme for every drive.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Assignment {
    /// The scheme chosen for the layout, by which the assignment is named.
    pub chosen: SchemeId,
    /// The scheme of each drive, by drive id; `None` where none of the catalogue can move it.
    pub schemes: Vec<Option<SchemeId>>,
    /// The controllers, board by board.
    pub controllers: Vec<Controller>,
}

impl Assignment {
    /// The scheme of a drive.
    pub fn of(&self, drive: DriveId) -> Option<SchemeId> {
        self.schemes.get(drive.index()).copied().flatten()
    }
}

/// Gives every drive the scheme: what the layout fixes, else `scheme`, else what that gives instead; and plans the controllers.
pub fn assign(_layout: &Layout, _catalogue: &Catalogue, _scheme: SchemeId) -> Assignment {
    unimplemented!()
}
