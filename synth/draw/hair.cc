#include <algorithm>
#include <cmath>

#include "synth/draw/head.h"
#include "synth/random.h"

namespace armslength {
namespace {

Shape One(Polyline polygon) {
  Shape shape;
  shape.Add(std::move(polygon));
  return shape;
}

// A strand of hair lying on the skull: from one direction and height to another.
struct Lock {
  double around0, y0, around1, y1;
  double out0 = 1.06, out1 = 1.14;  // distance from the skull's axis, in skulls
  double width = 0.16;              // head heights
  double blown = 1.0;               // how far the wind takes its end
  double fullest = 0.45;
};

Polyline Course(const HeadForm& head, const Lock& lock, const Vec3& wind) {
  Polyline line;
  for (int i = 0; i <= 12; ++i) {
    const double u = i / 12.0;
    const double around = lock.around0 + (lock.around1 - lock.around0) * (u * (2 - u));
    const double y = lock.y0 + (lock.y1 - lock.y0) * (0.35 * u + 0.65 * u * u);
    const double out = lock.out0 + (lock.out1 - lock.out0) * u;
    Vec3 p = head.Skull(around, std::clamp(y, 0.42, 0.99), out);  // hangs straight below the widest place
    p.y() = y > 0.6 ? 0.6 + (y - 0.6) * 1.10 : y;
    const double far = std::max(0.0, u - 0.25) / 0.75;
    // The wind is given in body space; bring it into the head's own directions.
    const Axes& axes = head.AxesInBody();
    p += far * far * lock.blown * Vec3(axes.col(0).dot(wind), axes.col(1).dot(wind), -axes.col(2).dot(wind));
    line.push_back(head.Px(p));
  }
  return line;
}

Polyline Petal(const Polyline& course, double width_px, double fullest) {
  const Polyline path = Resampled(course, 28);
  Polyline left, right;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const Vec2 along = (path[std::min(i + 1, path.size() - 1)] - path[i == 0 ? 0 : i - 1]).normalized();
    const double t = static_cast<double>(i) / static_cast<double>(path.size() - 1);
    const double share = t < fullest ? 0.14 + 0.86 * std::sin(M_PI_2 * t / fullest)
                                     : std::pow(std::cos(M_PI_2 * (t - fullest) / (1 - fullest)), 1.15);
    const Vec2 across(-along.y(), along.x());
    left.push_back(path[i] + 0.5 * width_px * share * across);
    right.push_back(path[i] - 0.5 * width_px * share * across);
  }
  left.insert(left.end(), right.rbegin(), right.rend());
  return left;
}

struct Set {
  std::vector<Lock> behind, side, front;
};

Set LocksOf(const Hair& hair) {
  SynthRandom random(hair.seed, 77);
  Set set;
  const auto jitter = [&](double by) { return by * random.Normal(); };
  // Parting on the figure's left, a little behind the hairline.
  const double part = 0.42;
  switch (hair.style) {
    case HairStyle::kBob:
    case HairStyle::kLong: {
      const double low = hair.style == HairStyle::kBob ? 0.02 : -0.85;
      for (int i = 0; i < 11; ++i) {
        const double a = 1.45 + (2 * M_PI - 2.9) * i / 10.0;
        set.behind.push_back({a, 0.75, a + jitter(0.08), low + 0.13 * (i % 2) + jitter(0.04), 1.08,
                              1.24 + jitter(0.03), 0.30, 0.6 + 0.8 * random.Uniform(0, 1), 0.50});
      }
      for (double s : {1.0, -1.0}) {
        set.side.push_back({s * 1.25, 0.80, s * 1.62, low + 0.10, 1.06, 1.20, 0.26, 0.9, 0.55});
        set.side.push_back({s * 1.05, 0.86, s * 1.42, low + 0.20, 1.06, 1.16, 0.20, 0.8, 0.5});
      }
      set.front = {{part, 0.97, 1.30, 0.40, 1.06, 1.15, 0.26, 0.25, 0.42},
                   {part + 0.15, 0.96, 1.00, 0.60, 1.05, 1.13, 0.18, 0.15, 0.42},
                   {part, 0.985, -1.80, 0.22, 1.08, 1.20, 0.34, 0.10, 0.45},
                   {part, 0.985, -1.48, 0.42, 1.08, 1.18, 0.30, 0.10, 0.45},
                   {part, 0.98, -1.12, 0.60, 1.07, 1.16, 0.25, 0.05, 0.45},
                   {part, 0.97, -0.70, 0.74, 1.06, 1.13, 0.18, 0.0, 0.48}};
      break;
    }
    case HairStyle::kCropped:
      for (int i = 0; i < 9; ++i) {
        const double a = 1.4 + (2 * M_PI - 2.8) * i / 8.0;
        set.behind.push_back({a, 0.7, a, 0.24 + 0.04 * (i % 2), 1.05, 1.08, 0.24, 0.2, 0.5});
      }
      for (int i = 0; i < 7; ++i) {
        const double a = -1.1 + 2.2 * i / 6.0;
        set.front.push_back(
            {a * 0.5 + 0.2, 0.98, a + 0.15, 0.70 + 0.03 * (i % 2), 1.06, 1.15, 0.20, 0.3, 0.45});
      }
      break;
    case HairStyle::kTied:
      set.front = {{part, 0.985, -1.25, 0.50, 1.05, 1.10, 0.26, 0.2, 0.4},
                   {part, 0.985, -0.75, 0.66, 1.05, 1.10, 0.20, 0.2, 0.4},
                   {part, 0.98, 1.25, 0.50, 1.05, 1.10, 0.22, 0.2, 0.4}};
      for (double s : {1.0, -1.0})
        set.side.push_back({s * 1.25, 0.70, s * 1.40, 0.12, 1.05, 1.12, 0.07, 0.9, 0.4});
      break;
  }
  return set;
}

void DrawLocks(Sheet& sheet, const HeadForm& head, const std::vector<Lock>& locks, const Hair& hair,
               const Material& colour, double line_px, bool separate, Shape* all) {
  Shape together;
  for (const Lock& lock : locks) {
    const Polyline course = Course(head, lock, hair.wind);
    const Shape petal = One(Petal(course, lock.width * head.UnitPx(), lock.fullest));
    if (separate) sheet.Part(petal, colour, {line_px, 0.8});
    together.Add(petal);
  }
  if (!separate) sheet.Part(together, colour, {line_px, 0.8});
  for (const Lock& lock : locks) {  // strands
    for (double offset : {0.12}) {
      Lock strand = lock;
      strand.around0 += 0.10 * offset;
      strand.around1 += offset * lock.width;
      strand.y1 += 0.04;
      const Polyline course = Course(head, strand, hair.wind);
      const Polyline part(course.begin() + 3, course.end() - 1);
      sheet.Ink(One(Tapered(part, 0.65 * line_px, 0.5)), together);
    }
  }
  if (all != nullptr) all->Add(together);
}

}  // namespace

void DrawHairBehind(Sheet& sheet, const HeadForm& head, const Hair& hair, const Material& colour,
                    double line_px) {
  Shape mass;
  const Set set = LocksOf(hair);
  if (hair.style == HairStyle::kTied) {
    // A knot at the back of the head.
    Polyline knot;
    const Vec3 at = head.Skull(M_PI, 0.62, 1.28);
    for (int i = 0; i < 40; ++i) {
      const double a = 2 * M_PI * i / 40;
      knot.push_back(head.Px(at + Vec3(0.17 * std::cos(a), 0.17 * std::sin(a), 0.05 * std::cos(a))));
    }
    sheet.Part(One(ConvexHull(knot)), colour, {line_px, 0.8});
    return;
  }
  for (const Lock& lock : set.behind)
    mass.Add(Petal(Course(head, lock, hair.wind), lock.width * head.UnitPx(), lock.fullest));
  mass.Add(head.SkullOutline(1.14, 0.40, 0.95));
  sheet.Part(mass, colour, {line_px, 0.8});
  if (head.Facing({0, 0, 1}) > -0.2) sheet.Shade(mass, mass);  // lies in the head's own shadow
  for (const Lock& lock : set.behind)
    sheet.Ink(One(Tapered(Course(head, lock, hair.wind), 0.7 * line_px, 0.6)), mass);
}

void DrawHairCap(Sheet& sheet, const HeadForm& head, const Hair& hair, const Material& colour,
                 double line_px) {
  const double out = hair.style == HairStyle::kTied ? 1.05 : hair.style == HairStyle::kCropped ? 1.08 : 1.11;
  sheet.Part(head.SkullOutline(out, 0.34, 1.0), colour, {line_px, 0.8});
}

Shape DrawHairFront(Sheet& sheet, const HeadForm& head, const Hair& hair, const Material& colour,
                    double line_px, const Vec3& to_light) {
  Shape all;
  const Set set = LocksOf(hair);
  const auto near = [&](const Lock& lock) {
    return head.Facing({std::sin(lock.around1), 0, std::cos(lock.around1)}) > -0.35;
  };
  std::vector<Lock> side, front;
  std::copy_if(set.side.begin(), set.side.end(), std::back_inserter(side), near);
  std::copy_if(set.front.begin(), set.front.end(), std::back_inserter(front), near);
  // Seen from behind the back locks come to the front.
  if (head.Facing({0, 0, 1}) < -0.2) {
    side.clear();
    front = set.behind;
  }
  Shape fringe;
  for (const Lock& lock : front)
    fringe.Add(Petal(Course(head, lock, hair.wind), lock.width * head.UnitPx(), lock.fullest));
  for (const Lock& lock : side)
    fringe.Add(Petal(Course(head, lock, hair.wind), lock.width * head.UnitPx(), lock.fullest));
  const Vec2 fall = -0.045 * head.UnitPx() * Vec2(to_light.x(), to_light.y()).normalized();
  sheet.Cast(fringe, fall);
  DrawLocks(sheet, head, side, hair, colour, line_px, true, &all);
  DrawLocks(sheet, head, front, hair, colour, line_px, true, &all);

  // Light on the hair: a broken band round the top, and the dark side.
  const Material shine{colour.light.Towards(Rgb::Hex(0xffffff), 0.28), colour.light};
  Shape cap = head.SkullOutline(1.12, 0.34, 1.0);
  SynthRandom random(hair.seed, 78);
  for (int i = -8; i <= 8; ++i) {
    const double a = 0.19 * i - 0.5;
    const double h = 0.035 + 0.03 * random.Uniform(0, 1);
    if (head.Facing({std::sin(a), 0.3, std::cos(a)}) < 0.15) continue;
    Polyline gleam;
    for (auto [da, dy] : {std::pair{-0.085, 0.0},
                          {-0.03, h},
                          {0.0, 0.4 * h},
                          {0.05, 1.2 * h},
                          {0.085, 0.0},
                          {0.02, -0.8 * h},
                          {-0.03, -0.3 * h}}) {
      Vec3 p = head.Skull(a + da, 0.86 + dy, 1.09);
      p.y() = 0.6 + (p.y() - 0.6) * 1.1;
      gleam.push_back(head.Px(p));
    }
    sheet.Colour(One(Smooth(gleam, 5, true)), shine, cap);
  }
  return all;
}

}  // namespace armslength
