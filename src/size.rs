//! How large an input may be. The usual limits are far above what any layout or catalogue holds and far below what would exhaust a small
//! machine; who has more, and the memory for it, raises them tenfold by `--large`.

/// Which limits hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Size {
    /// The usual ones.
    #[default]
    Usual,
    /// Ten times as much.
    Large,
}

impl Size {
    fn times(self, usual: usize) -> usize {
        match self {
            Self::Usual => usual,
            Self::Large => usual.saturating_mul(10),
        }
    }

    /// Bytes of a layout file.
    pub fn layout_bytes(self) -> usize {
        self.times(4 << 20)
    }

    /// Values in a layout file.
    pub fn values(self) -> usize {
        self.times(100_000)
    }

    /// Values that the aliases of a layout file stand for.
    pub fn aliased(self) -> usize {
        self.times(10_000)
    }

    /// Items in one list of a layout file.
    pub fn items(self) -> usize {
        self.times(2_000)
    }

    /// Bytes of a workbook, or of all tables of a folder.
    pub fn book_bytes(self) -> usize {
        self.times(32 << 20)
    }

    /// Bytes that a workbook unpacks to.
    pub fn unpacked(self) -> u64 {
        self.times(128 << 20) as u64
    }

    /// The last row read of a sheet.
    pub fn rows(self) -> u32 {
        u32::try_from(self.times(50_000)).unwrap_or(u32::MAX)
    }

    /// Cells of a workbook or folder.
    pub fn cells(self) -> usize {
        self.times(600_000)
    }

    /// Amounts that rules and tasks count over a layout, all schemes compared together.
    pub fn counted(self) -> usize {
        self.times(4_000_000)
    }

    /// Pieces to cut under one scheme.
    pub fn pieces(self) -> usize {
        self.times(1_000_000)
    }
}
