//! Tables in plain text. The page hands such texts over too, so the sheet makes them.

pub(super) use crate::sheet::text_table::TextTable as Table;
