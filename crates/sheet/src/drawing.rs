//! A drawing to scale, in millimetres of paper, written as SVG.
//!
//! One small layer for pages, files and PDF: pens whose kinds of line differ without colour, text with a size in
//! millimetres, and a title and description for who cannot see it. The typesetting library and the browser read the
//! same text.

use std::fmt::{self, Write};

/// A place on the paper, millimetres from the top left corner, to the right and down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// To the right.
    pub x_mm: f64,
    /// Down.
    pub y_mm: f64,
}

impl Place {
    /// A place.
    pub fn new(x_mm: f64, y_mm: f64) -> Self {
        Self { x_mm, y_mm }
    }
}

/// How a line is broken, so that lines differ on a black-and-white print.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Dash {
    /// Unbroken.
    #[default]
    Solid,
    /// Long dashes: the bike as found.
    Long,
    /// Dots: a limit.
    Dots,
    /// Dash and dot: a middle line, as in technical drawings (ISO 128).
    Centre,
}

/// The colour of a line or surface; each differs in lightness from the next, so that print keeps them apart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Mark {
    /// Near black: what is there after the refit.
    #[default]
    Ink,
    /// Grey: what was there before, and scales.
    Quiet,
    /// Light grey: grids and bodies.
    Faint,
    /// Near white: bands behind rows.
    Wash,
    /// Deep red: what does not work; never the only sign of it.
    Bad,
    /// Deep blue: what is measured or set.
    Set,
    /// White, under text.
    Paper,
}

impl Mark {
    /// The colour as SVG and CSS write it.
    pub fn hex(self) -> &'static str {
        match self {
            Self::Ink => "#1b1f23",
            Self::Quiet => "#5a626b",
            Self::Faint => "#d5d9de",
            Self::Wash => "#f0f2f4",
            Self::Bad => "#a3160c",
            Self::Set => "#0b4f8a",
            Self::Paper => "#ffffff",
        }
    }
}

/// What a line is drawn with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Thickness on paper.
    pub width_mm: f64,
    /// Broken how.
    pub dash: Dash,
    /// Colour.
    pub mark: Mark,
}

impl Pen {
    /// An unbroken line.
    pub fn solid(width_mm: f64, mark: Mark) -> Self {
        Self { width_mm, dash: Dash::Solid, mark }
    }

    /// The same line broken.
    pub fn broken(self, dash: Dash) -> Self {
        Self { dash, ..self }
    }
}

/// Which end of a text is at its place.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Anchor {
    /// It begins there.
    #[default]
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// How heavy the letters are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Weight {
    /// For reading.
    #[default]
    Regular,
    /// For values and titles.
    Bold,
}

/// What stands on a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shows {
    /// A picture.
    Picture,
    /// Why there is none.
    Reason,
}

/// Why a drawing could not be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DrawingError {
    /// A coordinate is not a finite number.
    NotFinite {
        /// What was drawn.
        what: &'static str,
    },
    /// The paper has no size.
    NoPaper,
}

impl fmt::Display for DrawingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite { what } => {
                write!(f, "a {what} of the drawing has a place that is not a finite number")
            }
            Self::NoPaper => write!(f, "the drawing has a width or height that is not above 0 mm"),
        }
    }
}

impl std::error::Error for DrawingError {}

/// A drawing: a sheet of paper with lines, surfaces and text.
///
/// # Example
/// ```
/// use sheet::{Drawing, Mark, Pen, Place};
/// let mut drawing = Drawing::new(100.0, 40.0, "A line", "a line of 80 mm");
/// drawing.line(Place::new(10.0, 20.0), Place::new(90.0, 20.0), Pen::solid(0.5, Mark::Ink));
/// assert!(drawing.svg()?.contains(r#"x1="10" y1="20" x2="90" y2="20""#));
/// # Ok::<(), sheet::DrawingError>(())
/// ```
#[derive(Clone, Debug)]
pub struct Drawing {
    shows: Shows,
    width_mm: f64,
    height_mm: f64,
    title: String,
    description: String,
    body: String,
    wrong: Option<&'static str>,
}

impl Drawing {
    /// An empty drawing of a size on paper, with what it shows for who cannot see it.
    pub fn new(
        width_mm: f64,
        height_mm: f64,
        title: impl Into<String>,
        description: impl Into<String>,
    ) -> Self {
        Self {
            shows: Shows::Picture,
            width_mm,
            height_mm,
            title: title.into(),
            description: description.into(),
            body: String::new(),
            wrong: None,
        }
    }

    /// The same drawing as one that only says why there is no picture.
    pub fn of_reason(self) -> Self {
        Self { shows: Shows::Reason, ..self }
    }

    /// Whether there is a picture, or only the reason why there is none.
    pub fn shows(&self) -> Shows {
        self.shows
    }

    /// What it shows, in sentences, for who cannot see it.
    pub fn description(&self) -> &str {
        &self.description
    }

    /// Width on paper.
    pub fn width_mm(&self) -> f64 {
        self.width_mm
    }

    /// What it shows, in a few words.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// Height on paper.
    pub fn height_mm(&self) -> f64 {
        self.height_mm
    }

    /// A straight line.
    pub fn line(&mut self, from: Place, to: Place, pen: Pen) {
        if self.all_finite("line", &[from, to]) {
            let (x1, y1, x2, y2) = (num(from.x_mm), num(from.y_mm), num(to.x_mm), num(to.y_mm));
            let _ = writeln!(self.body, r#"<line x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"{}/>"#, stroke(pen));
        }
    }

    /// A line through several places.
    pub fn path(&mut self, places: &[Place], pen: Pen) {
        if places.len() > 1 && self.all_finite("path", places) {
            let _ =
                writeln!(self.body, r#"<polyline points="{}" fill="none"{}/>"#, points(places), stroke(pen));
        }
    }

    /// A filled surface.
    pub fn surface(&mut self, places: &[Place], fill: Mark, edge: Option<Pen>) {
        if places.len() > 2 && self.all_finite("surface", places) {
            let edge = edge.map(stroke).unwrap_or_default();
            let _ =
                writeln!(self.body, r#"<polygon points="{}" fill="{}"{edge}/>"#, points(places), fill.hex());
        }
    }

    /// A rectangle by two opposite corners.
    pub fn bar(&mut self, from: Place, to: Place, fill: Mark, edge: Option<Pen>) {
        let corners = [from, Place::new(to.x_mm, from.y_mm), to, Place::new(from.x_mm, to.y_mm)];
        self.surface(&corners, fill, edge);
    }

    /// A circle.
    pub fn circle(&mut self, centre: Place, radius_mm: f64, fill: Option<Mark>, edge: Pen) {
        if self.all_finite("circle", &[centre, Place::new(radius_mm, 0.0)]) && radius_mm > 0.0 {
            let fill = fill.map_or("none", Mark::hex);
            let (x, y, r) = (num(centre.x_mm), num(centre.y_mm), num(radius_mm));
            let _ =
                writeln!(self.body, r#"<circle cx="{x}" cy="{y}" r="{r}" fill="{fill}"{}/>"#, stroke(edge));
        }
    }

    /// A text; `size_mm` is the height of its letters from baseline to ascender, roughly.
    pub fn text(
        &mut self,
        at: Place,
        size_mm: f64,
        anchor: Anchor,
        weight: Weight,
        mark: Mark,
        text: impl AsRef<str>,
    ) {
        if self.all_finite("text", &[at, Place::new(size_mm, 0.0)]) && size_mm > 0.0 {
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let weight = match weight {
                Weight::Regular => "400",
                Weight::Bold => "700",
            };
            let (x, y, size, fill) = (num(at.x_mm), num(at.y_mm), num(size_mm), mark.hex());
            let text = escaped(text.as_ref());
            let _ = writeln!(
                self.body,
                r#"<text x="{x}" y="{y}" font-family="Inter, sans-serif" font-size="{size}" font-weight="{weight}" text-anchor="{anchor}" fill="{fill}">{text}</text>"#
            );
        }
    }

    /// A dimension line with its value in the middle, if it is not empty: arrow heads at both ends, as in technical drawings.
    pub fn dimension(&mut self, from: Place, to: Place, size_mm: f64, text: impl AsRef<str>) {
        let pen = Pen::solid(0.2, Mark::Set);
        self.line(from, to, pen);
        let (dx, dy) = (to.x_mm - from.x_mm, to.y_mm - from.y_mm);
        let length = dx.hypot(dy);
        if length > 0.0 {
            let (ux, uy) = (dx / length, dy / length);
            for (tip, sign) in [(from, 1.0), (to, -1.0)] {
                let back = |side: f64| {
                    Place::new(
                        tip.x_mm + sign * 1.8 * ux - side * 0.5 * uy,
                        tip.y_mm + sign * 1.8 * uy + side * 0.5 * ux,
                    )
                };
                self.surface(&[tip, back(1.0), back(-1.0)], Mark::Set, None);
            }
        }
        let middle = Place::new((from.x_mm + to.x_mm) / 2.0, (from.y_mm + to.y_mm) / 2.0 - 1.0);
        if text.as_ref().is_empty() {
            return;
        }
        self.text(middle, size_mm, Anchor::Middle, Weight::Bold, Mark::Set, text);
    }

    /// The drawing as SVG, to be put into a page or a file.
    ///
    /// # Errors
    /// [`DrawingError`] if a place is not finite or the paper has no size: nothing wrong is drawn in silence.
    pub fn svg(&self) -> Result<String, DrawingError> {
        if let Some(what) = self.wrong {
            return Err(DrawingError::NotFinite { what });
        }
        let (w, h) = (self.width_mm, self.height_mm);
        if !(w.is_finite() && h.is_finite() && w > 0.0 && h > 0.0) {
            return Err(DrawingError::NoPaper);
        }
        let (w, h, title, about) = (num(w), num(h), escaped(&self.title), escaped(&self.description));
        Ok(format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" role=\"img\">\n<title>{title}</title>\n<desc>{about}</desc>\n{}</svg>\n",
            self.body
        ))
    }

    fn all_finite(&mut self, what: &'static str, places: &[Place]) -> bool {
        let finite = places.iter().all(|place| place.x_mm.is_finite() && place.y_mm.is_finite());
        if !finite {
            self.wrong.get_or_insert(what);
        }
        finite
    }
}

/// A hundredth of a millimetre is finer than any printer; shorter text is a smaller page.
fn num(value: f64) -> String {
    let rounded = (value * 100.0).round() / 100.0;
    let rounded = if rounded == 0.0 { 0.0 } else { rounded };
    format!("{rounded}")
}

fn points(places: &[Place]) -> String {
    let each: Vec<String> = places.iter().map(|p| format!("{},{}", num(p.x_mm), num(p.y_mm))).collect();
    each.join(" ")
}

fn stroke(pen: Pen) -> String {
    let width = num(pen.width_mm.max(0.0));
    let dash = match pen.dash {
        Dash::Solid => "",
        Dash::Long => r#" stroke-dasharray="3 1.5""#,
        Dash::Dots => r#" stroke-dasharray="0.4 1""#,
        Dash::Centre => r#" stroke-dasharray="5 1.2 0.6 1.2""#,
    };
    format!(r#" stroke="{}" stroke-width="{width}" stroke-linejoin="round"{dash}"#, pen.mark.hex())
}

fn escaped(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_control())
        .map(|c| match c {
            '&' => "&amp;".to_owned(),
            '<' => "&lt;".to_owned(),
            '>' => "&gt;".to_owned(),
            '"' => "&quot;".to_owned(),
            c => c.to_string(),
        })
        .collect()
}
