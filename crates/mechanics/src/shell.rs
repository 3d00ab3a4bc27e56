//! Which thread the shell of the bottom bracket can have, from its bore. Begin with [`candidates`].

use quantity::{Length, Thread};

/// How much larger than the basic minor diameter a tapped shell may be. From memory of real taps.
pub const TAP_OVERSIZE: Length = Length::mm(0.3);

/// A thread of a shell, named by its dimensions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ShellThread {
    /// 1.37 in x 24 threads an inch.
    Inch137x24,
    /// 35 mm x 1 mm.
    Metric35x1,
    /// 36 mm x 24 threads an inch.
    Mixed36x24,
    /// M47 x 1.
    Metric47x1,
}

impl ShellThread {
    /// Every thread, by rising bore.
    pub const ALL: [Self; 4] = [Self::Inch137x24, Self::Metric35x1, Self::Mixed36x24, Self::Metric47x1];

    /// Its diameter and pitch.
    pub fn thread(self) -> Thread {
        match self {
            Self::Inch137x24 => Thread::inch(1.37, 24.0),
            Self::Metric35x1 => Thread::metric(35.0, 1.0),
            Self::Mixed36x24 => Thread { diameter: Length::mm(36.0), pitch: Length::inches(1.0 / 24.0) },
            Self::Metric47x1 => Thread::metric(47.0, 1.0),
        }
    }

    /// Basic minor diameter: the smallest bore the shell can have.
    ///
    /// # Source
    /// Basic profile of ISO 68-1. Checked on printed bores: `tests/published.rs::bores_of_threaded_shells`.
    pub fn basic_minor_bore(self) -> Length {
        Length::mm(self.thread().minor_mm())
    }

    /// The largest bore of a real shell: the basic one and [`TAP_OVERSIZE`].
    pub fn largest_bore(self) -> Length {
        self.basic_minor_bore() + TAP_OVERSIZE
    }
}

/// The threads that a measured bore allows, by rising bore; empty when it is none of them.
///
/// A thread is allowed when some bore within the tolerance lies between its smallest and its largest. Two
/// threads whose ranges overlap are never told apart by a bore: where one is allowed, so is the other. That
/// keeps 1.37 x 24 and 35 x 1 together (0.27 mm apart, taps run 0.3 mm over); 36 x 24 and M47 stand alone. The
/// hand of the drive side and a thread gauge decide between the two.
///
/// A wider tolerance never takes a thread away.
///
/// # Example
/// ```
/// use mechanics::shell::{ShellThread, candidates};
/// use quantity::Length;
/// let found = candidates(Length::mm(33.7), Length::mm(0.05));
/// assert_eq!(found, [ShellThread::Inch137x24, ShellThread::Metric35x1]);
/// ```
pub fn candidates(bore: Length, tolerance: Length) -> Vec<ShellThread> {
    let least = bore - tolerance.abs();
    let most = bore + tolerance.abs();
    let allows = |thread: ShellThread| least <= thread.largest_bore() && thread.basic_minor_bore() <= most;
    let looks_like = |one: ShellThread, other: ShellThread| {
        one.basic_minor_bore() <= other.largest_bore() && other.basic_minor_bore() <= one.largest_bore()
    };
    ShellThread::ALL
        .into_iter()
        .filter(|one| ShellThread::ALL.into_iter().any(|other| looks_like(*one, other) && allows(other)))
        .collect()
}
