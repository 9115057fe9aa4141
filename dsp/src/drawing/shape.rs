//! Places, rectangles and shapes on the page, in millimetres; x to the right, y down.

/// A place on the page.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// To the right, in millimetres.
    pub x: f64,
    /// Down, in millimetres.
    pub y: f64,
}

/// An upright rectangle.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Rect {
    /// Smallest x, in millimetres.
    pub left: f64,
    /// Smallest y, in millimetres.
    pub top: f64,
    /// Largest x, in millimetres.
    pub right: f64,
    /// Largest y, in millimetres.
    pub bottom: f64,
}

/// What is drawn of a part, in ink.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Corners joined by straight lines.
    Line(Vec<Point>),
    /// The same, closed and filled with the part's tone.
    Area(Vec<Point>),
    /// A circle, filled with the part's tone.
    Disc {
        /// Its middle.
        middle: Point,
        /// In millimetres.
        radius: f64,
    },
    /// Corners joined by dashes: parts that move together.
    Dashes(Vec<Point>),
    /// Corners joined by straight lines, closed and filled with ink: arrow heads.
    Solid(Vec<Point>),
}

impl Point {
    /// The place (x, y).
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// This place moved by another.
    pub fn moved(self, by: Self) -> Self {
        Self { x: self.x + by.x, y: self.y + by.y }
    }
}

impl Shape {
    /// The shape moved by so much.
    pub fn moved(&self, by: Point) -> Self {
        let all = |points: &[Point]| points.iter().map(|point| point.moved(by)).collect();
        match self {
            Self::Line(points) => Self::Line(all(points)),
            Self::Area(points) => Self::Area(all(points)),
            Self::Dashes(points) => Self::Dashes(all(points)),
            Self::Solid(points) => Self::Solid(all(points)),
            Self::Disc { middle, radius } => Self::Disc { middle: middle.moved(by), radius: *radius },
        }
    }
}

impl Rect {
    /// The rectangle around a middle.
    pub fn around(middle: Point, width: f64, height: f64) -> Self {
        let (w, h) = (width / 2.0, height / 2.0);
        Self { left: middle.x - w, top: middle.y - h, right: middle.x + w, bottom: middle.y + h }
    }

    /// Its middle.
    pub fn middle(&self) -> Point {
        Point::new((self.left + self.right) / 2.0, (self.top + self.bottom) / 2.0)
    }

    /// The rectangle moved by so much.
    pub fn moved(&self, by: Point) -> Self {
        Self { left: self.left + by.x, top: self.top + by.y, right: self.right + by.x, bottom: self.bottom + by.y }
    }

    /// Whether the two share more than an edge.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.bottom && other.top < self.bottom
    }

    /// The rectangle with `margin` more on every side.
    pub fn grown(&self, margin: f64) -> Self {
        Self {
            left: self.left - margin,
            top: self.top - margin,
            right: self.right + margin,
            bottom: self.bottom + margin,
        }
    }

    /// Whether the level or upright stretch from `a` to `b` enters its inside.
    pub fn is_entered(&self, a: Point, b: Point) -> bool {
        let (left, right) = (a.x.min(b.x), a.x.max(b.x));
        let (top, bottom) = (a.y.min(b.y), a.y.max(b.y));
        left < self.right && right > self.left && top < self.bottom && bottom > self.top
    }
}
