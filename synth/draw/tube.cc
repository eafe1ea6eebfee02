#include "synth/draw/tube.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

namespace armslength {
namespace {

constexpr int kAround = 40;
constexpr double kTurn = 2 * M_PI;

template <typename T>
T Hermite(const T& p0, const T& p1, const T& p2, const T& p3, double s0, double s1, double s2, double s3,
          double s) {
  const double h = s2 - s1, u = (s - s1) / h;
  const T m1 = (p2 - p0) * (h / (s2 - s0)), m2 = (p3 - p1) * (h / (s3 - s1));
  const double u2 = u * u, u3 = u2 * u;
  return p1 * (2 * u3 - 3 * u2 + 1) + m1 * (u3 - 2 * u2 + u) + p2 * (-2 * u3 + 3 * u2) + m2 * (u3 - u2);
}

}  // namespace

Axes Between(const Axes& a, const Axes& b, double share) {
  const Axes mixed = (1 - share) * a + share * b;
  // Gram-Schmidt on up, then back; the left axis keeps the handedness of `a`.
  Axes out;
  out.col(1) = mixed.col(1).normalized();
  out.col(2) = (mixed.col(2) - out.col(1) * out.col(1).dot(mixed.col(2))).normalized();
  const Vec3 left = out.col(1).cross(out.col(2));
  out.col(0) = left * (left.dot(mixed.col(0)) < 0 ? -1.0 : 1.0);
  return out;
}

Tube::Tube(const std::vector<Key>& keys, const BodyCamera& camera, int sections) : camera_(camera) {
  std::vector<double> along{0.0};
  for (std::size_t i = 1; i < keys.size(); ++i)
    along.push_back(along.back() + (keys[i].centre - keys[i - 1].centre).norm() + 1e-6);
  const int n = static_cast<int>(keys.size());
  const auto key = [&](int i) -> const Key& {
    return keys[static_cast<std::size_t>(std::clamp(i, 0, n - 1))];
  };
  const auto where = [&](int i) {
    const int k = std::clamp(i, 0, n - 1);
    return along[static_cast<std::size_t>(k)] + (i - k) * 1e-3;
  };
  int k = 0;
  for (int i = 0; i < sections; ++i) {
    const double s = along.back() * i / (sections - 1);
    while (k + 2 < n && where(k + 1) < s) ++k;
    Key out;
    const auto blend = [&](auto member) {
      return Hermite(member(key(k - 1)), member(key(k)), member(key(k + 1)), member(key(k + 2)), where(k - 1),
                     where(k), where(k + 1), where(k + 2), s);
    };
    out.centre = blend([](const Key& q) -> Vec3 { return q.centre; });
    out.wide = std::max(1e-4, blend([](const Key& q) { return q.wide; }));
    out.deep = std::max(1e-4, blend([](const Key& q) { return q.deep; }));
    out.axes = Between(key(k).axes, key(k + 1).axes,
                       std::clamp((s - where(k)) / (where(k + 1) - where(k)), 0.0, 1.0));
    sections_.push_back(out);
  }
}

void Tube::Flute(double count, double phase_rad, double depth, double from) {
  flutes_ = count;
  flute_phase_ = phase_rad;
  flute_depth_ = depth;
  flute_from_ = from;
}

double Tube::Swell(double t, double angle) const {
  if (flutes_ == 0.0 || t <= flute_from_) return 1.0;
  const double u = (t - flute_from_) / (1 - flute_from_);
  return 1.0 + flute_depth_ * u *
                   (std::sin(flutes_ * angle + flute_phase_) +
                    0.35 * std::sin(2.3 * flutes_ * angle + 1.7 * flute_phase_ + 2.0 * u));
}

Tube::Key Tube::Section(double t) const {
  const double s = std::clamp(t, 0.0, 1.0) * static_cast<double>(sections_.size() - 1);
  const std::size_t i = std::min(static_cast<std::size_t>(s), sections_.size() - 2);
  const double u = s - static_cast<double>(i);
  const Key &a = sections_[i], &b = sections_[i + 1];
  return {a.centre + u * (b.centre - a.centre), Between(a.axes, b.axes, u), a.wide + u * (b.wide - a.wide),
          a.deep + u * (b.deep - a.deep)};
}

Vec3 Tube::Centre(double t) const { return Section(t).centre; }

Vec3 Tube::At(double t, double angle) const {
  const Key s = Section(t);
  const double swell = Swell(t, angle);
  return s.centre +
         swell * (s.axes.col(0) * (s.wide * std::cos(angle)) - s.axes.col(2) * (s.deep * std::sin(angle)));
}

Vec3 Tube::Normal(double t, double angle) const {
  const double e = 1e-3;
  const double ta = std::max(0.0, t - 0.01), tb = std::min(1.0, t + 0.01);
  const Vec3 around = At(t, angle + e) - At(t, angle - e);
  const Vec3 along = At(tb, angle) - At(ta, angle);
  Vec3 normal = around.cross(along);
  const Vec3 outwards = At(t, angle) - Section(t).centre;
  if (normal.dot(outwards) < 0) normal = -normal;
  return normal.normalized();
}

bool Tube::Faces(double t, double angle) const {
  const Vec3 at = At(t, angle);
  const Vec3 sight(camera_.inverse_distance * at.x(), camera_.inverse_distance * at.y(),
                   1.0 + camera_.inverse_distance * at.z());
  return Normal(t, angle).dot(sight) < 0.0;
}

double Tube::PxPerUnit(double t) const {
  return camera_.scale_px / (1.0 + camera_.inverse_distance * Section(t).centre.z());
}

double Tube::FacingAngle(double t) const {
  const Key s = Section(t);
  const Vec3 sight = Vec3(camera_.inverse_distance * s.centre.x(), camera_.inverse_distance * s.centre.y(),
                          1.0 + camera_.inverse_distance * s.centre.z());
  return std::atan2(s.axes.col(2).dot(sight), -s.axes.col(0).dot(sight));
}

std::array<double, 2> Tube::Edges(double t) const {
  // Silhouette of the section's cylinder: normal (deep cos, wide sin) at right angles to the sight.
  const Key s = Section(t);
  const Vec3 sight = Vec3(camera_.inverse_distance * s.centre.x(), camera_.inverse_distance * s.centre.y(),
                          1.0 + camera_.inverse_distance * s.centre.z());
  const double x = s.axes.col(0).dot(sight), y = -s.axes.col(2).dot(sight);
  const double first = std::atan2(-x * s.deep, y * s.wide);
  std::array<double, 2> edges{first, first + M_PI};
  // Picture-left when the part's up points up the picture.
  const Vec2 up = s.axes.col(1).head<2>();
  const Vec2 chord = Px(t, edges[1]) - Px(t, edges[0]);
  if (-up.y() * chord.x() + up.x() * chord.y() < 0) std::swap(edges[0], edges[1]);
  return edges;
}

Shape Tube::Outline(double t0, double t1) const {
  Shape shape;
  const int steps =
      std::max(2, static_cast<int>(std::lround((t1 - t0) * static_cast<double>(sections_.size() - 1))));
  Polyline before;
  for (int i = 0; i <= steps; ++i) {
    const double t = t0 + (t1 - t0) * i / steps;
    Polyline ring;
    for (int j = 0; j < kAround; ++j) ring.push_back(Px(t, kTurn * j / kAround));
    if (flutes_ == 0.0) {
      if (!before.empty()) {
        Polyline both = before;
        both.insert(both.end(), ring.begin(), ring.end());
        shape.Add(ConvexHull(std::move(both)));
      }
    } else if (!before.empty()) {
      for (std::size_t j = 0; j < kAround; ++j) {
        const std::size_t k = (j + 1) % kAround;
        shape.Add({before[j], before[k], ring[k], ring[j]});
      }
    }
    before = std::move(ring);
  }
  return shape;
}

Polyline Tube::Arc(double t, double bow, int count) const {
  const auto edges = Edges(t);
  const double facing = FacingAngle(t);
  // Go round the near side.
  double a = edges[0], b = edges[1];
  const auto wrap = [](double angle) { return std::remainder(angle, kTurn); };
  double da = wrap(a - facing), db = wrap(b - facing);
  if (da * db > 0) (std::abs(da) > std::abs(db) ? da : db) *= -1.0;
  a = facing + da;
  b = facing + db;
  Polyline arc;
  for (int i = 0; i < count; ++i) {
    const double share = static_cast<double>(i) / (count - 1);
    arc.push_back(Px(t, a + (b - a) * share));
  }
  if (bow != 1.0) {
    const Vec2 from = arc.front(), chord = arc.back() - arc.front();
    for (Vec2& p : arc) {
      const Vec2 foot = from + chord * ((p - from).dot(chord) / (chord.squaredNorm() + 1e-9));
      p = foot + bow * (p - foot);
    }
  }
  return arc;
}

Shape Tube::Band(double t0, double t1, double bow) const {
  Polyline outline = Arc(t0, bow);
  const int steps =
      std::max(2, static_cast<int>(std::ceil(std::abs(t1 - t0) * static_cast<double>(sections_.size()))));
  for (int i = 1; i < steps; ++i) {
    const double t = t0 + (t1 - t0) * i / steps;
    outline.push_back(Px(t, Edges(t)[1]));
  }
  const Polyline lower = Arc(t1, bow);
  outline.insert(outline.end(), lower.rbegin(), lower.rend());
  for (int i = steps - 1; i > 0; --i) {
    const double t = t0 + (t1 - t0) * i / steps;
    outline.push_back(Px(t, Edges(t)[0]));
  }
  Shape shape;
  shape.Add(std::move(outline));
  return shape;
}

Shape Tube::ShadowSide(const Vec3& to_light, double threshold, double t0, double t1) const {
  Shape shape;
  const int steps =
      std::max(2, static_cast<int>(std::lround((t1 - t0) * static_cast<double>(sections_.size() - 1))));
  const int around = 72;
  std::vector<double> before;
  double t_before = t0;
  for (int i = 0; i <= steps; ++i) {
    const double t = t0 + (t1 - t0) * i / steps;
    std::vector<double> dark(around);  // < 0: in shadow
    for (int j = 0; j < around; ++j)
      dark[static_cast<std::size_t>(j)] = Normal(t, kTurn * j / around).dot(to_light) - threshold;
    if (!before.empty()) {
      for (int j = 0; j < around; ++j) {
        const double a0 = kTurn * j / around, a1 = kTurn * (j + 1) / around, am = 0.5 * (a0 + a1);
        if (!Faces(t, am) && !Faces(t_before, am)) continue;
        const auto n = static_cast<std::size_t>(j), m = static_cast<std::size_t>((j + 1) % around);
        // Corners in order round the cell; the terminator cuts its sides.
        const std::array<double, 4> value{before[n], before[m], dark[m], dark[n]};
        const std::array<Vec2, 4> corner{Vec2(t_before, a0), Vec2(t_before, a1), Vec2(t, a1), Vec2(t, a0)};
        Polyline cell;
        for (std::size_t k = 0; k < 4; ++k) {
          const std::size_t next = (k + 1) % 4;
          if (value[k] < 0) cell.push_back(Px(corner[k].x(), corner[k].y()));
          if ((value[k] < 0) != (value[next] < 0)) {
            const Vec2 cut = corner[k] + (corner[next] - corner[k]) * (value[k] / (value[k] - value[next]));
            cell.push_back(Px(cut.x(), cut.y()));
          }
        }
        shape.Add(std::move(cell));
      }
    }
    before = std::move(dark);
    t_before = t;
  }
  return shape;
}

Polyline Tube::OnSurface(const std::vector<Vec2>& t_angle, int count) const {
  const Polyline path = Resampled(Smooth(t_angle, 8), count);
  Polyline best, run;
  for (const Vec2& q : path) {
    if (Faces(q.x(), q.y())) {
      run.push_back(Px(q.x(), q.y()));
    } else {
      if (run.size() > best.size()) best = run;
      run.clear();
    }
  }
  return run.size() > best.size() ? run : best;
}

std::vector<Tube::Key> LimbKeys(const Vec3& a, const Vec3& b, const Vec3& c, const Axes& first,
                                const Axes& second, double outward, const std::vector<LimbStation>& stations,
                                double scale) {
  std::vector<Tube::Key> keys;
  constexpr double kRound = 0.12;
  for (const LimbStation& s : stations) {
    Vec3 centre = s.at <= 1.0 ? Vec3(a + s.at * (b - a)) : Vec3(b + (s.at - 1.0) * (c - b));
    const double share = std::clamp((s.at - 1.0 + 2 * kRound) / (4 * kRound), 0.0, 1.0);
    const Axes axes = Between(first, second, share * share * (3 - 2 * share));
    centre += scale * (axes.col(0) * (outward * s.out) + axes.col(2) * s.back);
    keys.push_back({centre, axes, scale * s.wide, scale * s.deep});
  }
  return keys;
}

}  // namespace armslength
