//! `duskline picture`: a plan's board, day or site, or what it does in words, as one SVG file, or the board over a day in motion.

use super::{Answer, clock, remark};
use crate::limits::FILM_SECONDS;
use crate::picture::{LeftOut, Picture, Size, Theme, What, draw};
use crate::plan::{Clock, Plan};
use crate::run::MOST_DAYS;
use clap::{Args, ValueEnum};

/// What a picture shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Shows {
    /// The board at a moment
    Board,
    /// A whole day in lanes
    Day,
    /// What the plan does, in plain words
    Explanation,
    /// The storeys of the site at a moment
    Site,
    /// The board over a whole day, moving
    Motion,
}

/// The colours.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Colours {
    /// Ink on paper
    Light,
    /// Light ink on a night's ground
    Dark,
    /// Dark ink without a ground, for a light recording
    ClearDarkInk,
    /// Light ink without a ground, for a dark recording
    ClearLightInk,
}

/// How large.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Large {
    /// 640 by 360 pixels
    Thumbnail,
    /// 1600 pixels wide
    Page,
    /// 4000 pixels wide
    Poster,
}

/// The options of `duskline picture`.
#[derive(Args, Debug)]
pub(super) struct Options {
    /// Write the picture to this file instead of the standard output
    #[arg(short, long, value_name = "FILE")]
    output: Option<String>,
    /// What is drawn
    #[arg(long, value_enum, default_value_t = Shows::Board)]
    what: Shows,
    /// The storey, from 1, the lowest first; every one with something on it unless given
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..))]
    storey: Option<u8>,
    /// The colours, and whether there is a ground
    #[arg(long, value_enum, default_value_t = Colours::Light)]
    theme: Colours,
    /// How large it is
    #[arg(long, value_enum, default_value_t = Large::Page)]
    size: Large,
    /// The moment on the day's dial, for board and site
    #[arg(long, value_name = "HH:MM", default_value = "12:00", value_parser = clock)]
    at: Clock,
    /// The day of the run, from 1
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u64).range(1..=MOST_DAYS))]
    day: u64,
    /// How many seconds a day takes in motion
    #[arg(long, value_name = "N", default_value_t = 60, value_parser = clap::value_parser!(u32).range(i64::from(FILM_SECONDS.0)..=i64::from(FILM_SECONDS.1)))]
    seconds: u32,
    /// The title instead of the plan's; none where it is empty
    #[arg(long, value_name = "TEXT")]
    title: Option<String>,
    /// The caption instead of the plan's notes; none where it is empty
    #[arg(long, value_name = "TEXT")]
    caption: Option<String>,
    /// The address of a Duskline page: puts the plan's link into the picture as a QR code
    #[arg(long, value_name = "URL")]
    base: Option<String>,
    /// Leave out what the signs mean
    #[arg(long)]
    no_legend: bool,
    /// Leave out the numbers of the cable schedule on wires
    #[arg(long)]
    no_numbers: bool,
}

/// The picture, for the standard output or written to a file. `name` is how the plan was named.
pub(super) fn answer(name: &str, plan: &Plan, options: Options) -> Result<Answer, String> {
    if options.storey.is_some() && options.what != Shows::Site {
        return Err(
            "--storey: found another picture than that of the site, expected --what site\n".into(),
        );
    }
    let output = options.output.clone();
    let picture = picture(plan, options);
    let drawn = draw(plan, &picture).map_err(|error| format!("{name}: {error}\n"))?;
    for left_out in &drawn.left_out {
        match left_out {
            LeftOut::NoBase => remark("Without --base URL the plan's link is not in the picture."),
            left_out => remark(&left_out.says()),
        }
    }
    let text = match output {
        None => drawn.svg,
        Some(file) => {
            std::fs::write(&file, &drawn.svg).map_err(|error| {
                format!("--output {file}: {error}; expected a file that can be written\n")
            })?;
            String::new()
        }
    };
    Ok(Answer::new(text, &[]))
}

fn picture(plan: &Plan, options: Options) -> Picture {
    Picture {
        what: match options.what {
            Shows::Board => What::Board,
            Shows::Day => What::Day,
            Shows::Explanation => What::Explanation,
            Shows::Site => What::Site(options.storey.map(|storey| storey.saturating_sub(1))),
            Shows::Motion => What::Motion {
                seconds: options.seconds,
            },
        },
        theme: match options.theme {
            Colours::Light => Theme::Light,
            Colours::Dark => Theme::Dark,
            Colours::ClearDarkInk => Theme::ClearDarkInk,
            Colours::ClearLightInk => Theme::ClearLightInk,
        },
        size: match options.size {
            Large::Thumbnail => Size::Thumbnail,
            Large::Page => Size::Page,
            Large::Poster => Size::Poster,
        },
        day: options.day - 1,
        at: options.at.ms(plan.world.day_ms()),
        title: options.title,
        caption: options.caption,
        legend: !options.no_legend,
        numbers: !options.no_numbers,
        base: options.base,
    }
}
