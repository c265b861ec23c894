//! Sheets: what is drawn or listed of a plan, without the page.
