//! What of the page is open: panes of a narrow screen, pages of the station log.

/// Which of the panes a narrow screen shows in its drawer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pane {
    /// The part types.
    Shelf,
    /// The chosen part.
    Details,
    /// What is wrong.
    Problems,
    /// The station log.
    Log,
}

/// A page of the log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LogPage {
    /// The day chart.
    Day,
    /// The duties.
    Duties,
    /// The least sizes, and what is to spare.
    Sizes,
    /// What breaks when something is lost.
    Losses,
    /// What contacts do.
    Logic,
    /// What a builder would say.
    Findings,
    /// Variants side by side.
    Compare,
    /// What the plan does, in plain words.
    Explain,
    /// The plan's exercise.
    Exercise,
    /// The steps by which somebody is led through the plan.
    Walk,
}

impl LogPage {
    /// All pages, in their order.
    pub const ALL: [LogPage; 10] = [
        LogPage::Day,
        LogPage::Duties,
        LogPage::Explain,
        LogPage::Walk,
        LogPage::Findings,
        LogPage::Losses,
        LogPage::Sizes,
        LogPage::Compare,
        LogPage::Logic,
        LogPage::Exercise,
    ];

    /// Its name on the button.
    pub const fn name(self) -> &'static str {
        match self {
            LogPage::Day => "Day",
            LogPage::Duties => "Duties",
            LogPage::Sizes => "Sizes",
            LogPage::Losses => "Losses",
            LogPage::Logic => "Logic",
            LogPage::Findings => "Findings",
            LogPage::Compare => "Compare",
            LogPage::Explain => "Explain",
            LogPage::Exercise => "Exercise",
            LogPage::Walk => "Walk",
        }
    }
}
