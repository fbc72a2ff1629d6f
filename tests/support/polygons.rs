//! Polygons that overlap or do not, by their edges and corners alone.

use beatwright::geometry::Point;

pub fn turned_point(point: Point, pivot: Point, angle_rad: f64) -> Point {
    let (sine, cosine) = angle_rad.sin_cos();
    let arm = point - pivot;
    pivot + Point::new(cosine * arm.x - sine * arm.y, sine * arm.x + cosine * arm.y)
}

/// Lower left and upper right corner of the upright box about points.
pub fn bounds(points: &[Point]) -> (Point, Point) {
    points.iter().fold((points[0], points[0]), |(low, high), p| (low.inf(p), high.sup(p)))
}

/// Whether two upright boxes do not meet.
pub fn apart(a: (Point, Point), b: (Point, Point)) -> bool {
    a.1.x < b.0.x || b.1.x < a.0.x || a.1.y < b.0.y || b.1.y < a.0.y
}

pub fn edges(polygon: &[Point]) -> impl Iterator<Item = (Point, Point)> {
    (0..polygon.len()).map(|k| (polygon[k], polygon[(k + 1) % polygon.len()]))
}

pub fn overlap(first: &[Point], second: &[Point]) -> bool {
    let (box_first, box_second) = (bounds(first), bounds(second));
    if apart(box_first, box_second) {
        return false;
    }
    let near: Vec<_> = edges(second).filter(|&(c, d)| !apart(box_first, bounds(&[c, d]))).collect();
    edges(first).filter(|&(a, b)| !apart(box_second, bounds(&[a, b]))).any(|(a, b)| {
        let box_edge = bounds(&[a, b]);
        near.iter().any(|&(c, d)| !apart(box_edge, bounds(&[c, d])) && segments_cross(a, b, c, d))
    }) || inside(first[0], second)
        || inside(second[0], first)
}

pub fn segments_cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |p: Point, q: Point, r: Point| (q - p).perp(&(r - p));
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

pub fn inside(point: Point, polygon: &[Point]) -> bool {
    let crossed = edges(polygon).filter(|(a, b)| {
        (a.y > point.y) != (b.y > point.y) && point.x < a.x + (point.y - a.y) / (b.y - a.y) * (b.x - a.x)
    });
    crossed.count() % 2 == 1
}
