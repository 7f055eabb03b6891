//! Reads back what a wiring picture draws: a scanner of tags and of the few path letters there are. Shares nothing with what
//! draws it.

/// A rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Frame {
    pub fn meets(&self, o: &Frame) -> bool {
        self.left < o.right && o.left < self.right && self.top < o.bottom && o.top < self.bottom
    }

    pub fn holds(&self, o: &Frame) -> bool {
        self.left <= o.left && o.right <= self.right && self.top <= o.top && o.bottom <= self.bottom
    }

    pub fn grown(&self, by: f64) -> Frame {
        Frame { left: self.left - by, top: self.top - by, right: self.right + by, bottom: self.bottom + by }
    }

    fn of(points: &[(f64, f64)]) -> Frame {
        let most = |f: fn(&(f64, f64)) -> f64| points.iter().map(f).fold(f64::NEG_INFINITY, f64::max);
        let least = |f: fn(&(f64, f64)) -> f64| points.iter().map(f).fold(f64::INFINITY, f64::min);
        Frame { left: least(|p| p.0), top: least(|p| p.1), right: most(|p| p.0), bottom: most(|p| p.1) }
    }

    fn with(&self, o: &Frame) -> Frame {
        Frame::of(&[(self.left, self.top), (self.right, self.bottom), (o.left, o.top), (o.right, o.bottom)])
    }
}

/// A straight piece of a wire.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    pub a: (f64, f64),
    pub b: (f64, f64),
}

impl Piece {
    pub fn frame(&self) -> Frame {
        Frame::of(&[self.a, self.b]).grown(0.5)
    }

    pub fn ends_at(&self, p: (f64, f64)) -> bool {
        self.a == p || self.b == p
    }

    pub fn goes_through(&self, p: (f64, f64)) -> bool {
        self.frame().grown(0.5).holds(&Frame::of(&[p]))
    }

    pub fn touches(&self, o: &Piece) -> bool {
        self.frame().meets(&o.frame())
    }

    /// Whether the two cross, each in its inside.
    pub fn crosses(&self, o: &Piece) -> bool {
        let across = |l: &Piece, u: &Piece| {
            l.a.1 == l.b.1
                && u.a.0 == u.b.0
                && l.a.0.min(l.b.0) < u.a.0
                && u.a.0 < l.a.0.max(l.b.0)
                && u.a.1.min(u.b.1) < l.a.1
                && l.a.1 < u.a.1.max(u.b.1)
        };
        across(self, o) || across(o, self)
    }
}

/// The wire of a net.
#[derive(Debug, Clone)]
pub struct Net {
    pub id: String,
    pub lines: Vec<Piece>,
    pub joints: Vec<(f64, f64)>,
    pub name: Option<String>,
}

impl Net {
    /// Whether all of its pieces hang together. Where three meet, or one ends on another, there must be a dot.
    pub fn is_one(&self) -> bool {
        let mut reached = vec![false; self.lines.len()];
        let mut todo: Vec<usize> = (0..self.lines.len().min(1)).collect();
        while let Some(k) = todo.pop() {
            if std::mem::replace(&mut reached[k], true) {
                continue;
            }
            for (n, other) in self.lines.iter().enumerate() {
                let corner = [other.a, other.b].into_iter().any(|p| self.lines[k].ends_at(p));
                let dot = self.joints.iter().any(|j| other.goes_through(*j) && self.lines[k].goes_through(*j));
                if !reached[n] && (corner || dot) {
                    todo.push(n);
                }
            }
        }
        !self.lines.is_empty() && reached.into_iter().all(|r| r)
    }
}

/// A symbol.
#[derive(Debug, Clone)]
pub struct Symbol {
    pub owner: String,
    pub frame: Frame,
    pub texts: Vec<(String, Frame)>,
}

/// A whole picture.
#[derive(Debug, Clone)]
pub struct Drawn {
    pub page: Frame,
    pub terminals: Vec<(String, (f64, f64))>,
    pub nets: Vec<Net>,
    pub symbols: Vec<Symbol>,
    pub texts: Vec<(String, Frame)>,
}

fn attribute<'t>(tag: &'t str, name: &str) -> Option<&'t str> {
    let from = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    tag[from..].split('"').next()
}

fn number(tag: &str, name: &str) -> f64 {
    attribute(tag, name).and_then(|v| v.parse().ok()).unwrap_or(f64::NAN)
}

fn plain(text: &str) -> String {
    text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&#39;", "'").replace("&amp;", "&")
}

/// The points of a path: M and L with a point, A with its end last, Z.
fn points(path: &str) -> Vec<(f64, f64)> {
    let numbers = |part: &str| part.split_whitespace().filter_map(|n| n.parse().ok()).collect::<Vec<f64>>();
    let ends = path.split(|c: char| c.is_ascii_alphabetic()).map(numbers).filter(|n| n.len() > 1);
    ends.map(|n| (n[n.len() - 2], n[n.len() - 1])).collect()
}

/// Breadth of a letter over its height: that of common fonts in the mean.
const LETTER: f64 = 0.56;

fn text_frame(tag: &str, text: &str) -> Frame {
    let wide = text.chars().count() as f64 * LETTER * 12.0;
    let (x, y) = (number(tag, "x"), number(tag, "y"));
    let left = match attribute(tag, "text-anchor") {
        Some("middle") => x - wide / 2.0,
        Some("end") => x - wide,
        _ => x,
    };
    Frame { left, top: y - 9.0, right: left + wide, bottom: y + 2.0 }
}

/// Reads a picture.
pub fn read(svg: &str) -> Drawn {
    let size: Vec<f64> = attribute(svg, "viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
    let page = Frame { left: 0.0, top: 0.0, right: size[2], bottom: size[3] };
    let mut d = Drawn { page, terminals: vec![], nets: vec![], symbols: vec![], texts: vec![] };
    let mut groups: Vec<(String, String)> = vec![];
    for tag in svg.split('<').skip(1) {
        let (head, after) = tag.split_once('>').unwrap_or((tag, ""));
        let class = attribute(head, "class").unwrap_or("");
        let in_symbol = groups.last().is_some_and(|(_, c)| c == "symbol");
        if head.starts_with("g ") {
            let id = attribute(head, "id").unwrap_or("").to_string();
            if class.starts_with("net") && id.starts_with("net-") {
                d.nets.push(Net { id: id.clone(), lines: vec![], joints: vec![], name: None });
            } else if class == "symbol" {
                let owner = groups.last().map_or(String::new(), |g| g.0.clone());
                let frame = Frame::of(&[]);
                d.symbols.push(Symbol { owner, frame, texts: vec![] });
            }
            groups.push((id, class.to_string()));
            continue;
        }
        if head == "/g" {
            groups.pop();
            continue;
        }
        let shape = match head.split(' ').next().unwrap() {
            "path" => Frame::of(&points(attribute(head, "d").unwrap())),
            "rect" => {
                let (x, y) = (number(head, "x"), number(head, "y"));
                Frame { left: x, top: y, right: x + number(head, "width"), bottom: y + number(head, "height") }
            }
            "circle" => Frame::of(&[(number(head, "cx"), number(head, "cy"))]).grown(number(head, "r")),
            "text" => {
                let text = plain(after);
                let frame = text_frame(head, &text);
                d.texts.push((text.clone(), frame));
                if class == "net-name" {
                    d.nets.last_mut().unwrap().name = Some(text);
                } else if in_symbol {
                    d.symbols.last_mut().unwrap().texts.push((text, frame));
                }
                continue;
            }
            _ => continue,
        };
        match class {
            "wire" => {
                let p = points(attribute(head, "d").unwrap());
                d.nets.last_mut().unwrap().lines.push(Piece { a: p[0], b: p[1] });
            }
            "joint" if !in_symbol => {
                d.nets.last_mut().unwrap().joints.push((number(head, "cx"), number(head, "cy")));
            }
            "terminal" => {
                let at = (number(head, "cx"), number(head, "cy"));
                d.terminals.push((plain(attribute(head, "id").unwrap()), at));
            }
            _ if in_symbol => {
                let symbol = d.symbols.last_mut().unwrap();
                let none = symbol.frame.left > symbol.frame.right;
                symbol.frame = if none { shape } else { symbol.frame.with(&shape) };
            }
            _ => {}
        }
    }
    d
}
