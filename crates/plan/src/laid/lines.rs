//! Row lines, even or as they were measured.

/// The row lines of one region: even, or as measured where something is laid.
#[derive(Debug, Clone, PartialEq)]
pub struct RowLines {
    /// v of the start line, mm.
    pub line: f64,
    /// Pitch of the rows beyond those laid, mm.
    pub pitch: f64,
    /// The lowest row whose place is known by itself.
    pub(super) lowest: i32,
    /// v of the lower side of that row and of those above it, and of the last one's upper side; empty where all
    /// lines are even.
    pub(super) known: Vec<f64>,
}

impl RowLines {
    /// Lines a pitch apart.
    pub fn even(line: f64, pitch: f64) -> Self {
        Self { line, pitch, lowest: 0, known: Vec::new() }
    }

    /// The same lines further across the rows, mm.
    pub fn shifted(&self, by: f64) -> Self {
        let known = self.known.iter().map(|v| v + by).collect();
        Self { line: self.line + by, known, ..*self }
    }

    /// v of the lower side of a row, mm.
    pub fn at(&self, row: i32) -> f64 {
        let Some((low, high)) = self.known.first().zip(self.known.last()) else {
            return self.line + f64::from(row) * self.pitch;
        };
        let above = i64::from(row) - i64::from(self.lowest);
        match usize::try_from(above) {
            Ok(place) => self.known.get(place).copied().unwrap_or_else(|| {
                let beyond = above - (self.known.len() as i64 - 1);
                high + beyond as f64 * self.pitch
            }),
            Err(_) => low + above as f64 * self.pitch,
        }
    }

    /// The row in which v lies; on a line the row above it.
    pub fn row_of(&self, v: f64) -> i32 {
        self.place(v).floor() as i32
    }

    /// v counted in rows from the start line: 2.5 is the middle of row 2.
    pub fn place(&self, v: f64) -> f64 {
        let Some((low, high)) = self.known.first().zip(self.known.last()) else {
            return (v - self.line) / self.pitch;
        };
        let lowest = f64::from(self.lowest);
        if v < *low {
            return lowest + (v - low) / self.pitch;
        }
        if v >= *high {
            return lowest + (self.known.len() - 1) as f64 + (v - high) / self.pitch;
        }
        let above = self.known.partition_point(|line| *line <= v).max(1);
        let (from, to) = (self.known[above - 1], self.known[above]);
        lowest + (above - 1) as f64 + (v - from) / (to - from)
    }

    /// A row line near v and the distance to the next one: what an edge at v is read by, mm.
    pub fn near(&self, v: f64) -> (f64, f64) {
        let row = self.row_of(v);
        let line = self.at(row);
        (line, self.at(row.saturating_add(1)) - line)
    }

    /// The lowest and the highest row line known by itself, as rows; `None` where all lines are even.
    pub fn known(&self) -> Option<(i32, i32)> {
        let count = i32::try_from(self.known.len()).ok()?.checked_sub(1)?;
        Some((self.lowest, self.lowest.saturating_add(count)))
    }
}
