#include "report/block_body.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>
#include <vector>

#include <cairo.h>

namespace armslength {
namespace {

using P = PointId;

// Path commands in head heights, y up; the pen maps them to pixels.
class Pen {
 public:
  Pen(cairo_t* cr, const Vec2& origin, double scale) : cr_(cr), origin_(origin), scale_(scale) {}
  void Move(const Vec2& p) { Apply(cairo_move_to, p); }
  void Line(const Vec2& p) { Apply(cairo_line_to, p); }
  void Curve(const Vec2& a, const Vec2& b, const Vec2& end) {
    const Vec2 pa = Px(a), pb = Px(b), pe = Px(end);
    cairo_curve_to(cr_, pa.x(), pa.y(), pb.x(), pb.y(), pe.x(), pe.y());
  }
  void Close() { cairo_close_path(cr_); }

 private:
  [[nodiscard]] Vec2 Px(const Vec2& p) const { return {origin_.x() + scale_ * p.x(), origin_.y() - scale_ * p.y()}; }
  void Apply(void (*command)(cairo_t*, double, double), const Vec2& p) {
    const Vec2 px = Px(p);
    command(cr_, px.x(), px.y());
  }
  cairo_t* cr_;
  Vec2 origin_;
  double scale_;
};

// A limb from a to b with half-breadths ra, rb and a swelling on the left and right of
// its way, a third down. Round ends.
void Limb(Pen& pen, const Vec2& a, const Vec2& b, double ra, double rb, double left, double right) {
  const Vec2 way = b - a;
  const double length = way.norm();
  if (length < 1e-9) return;
  const Vec2 d = way / length, n(-d.y(), d.x());
  const auto side = [&](double along, double across) { return Vec2(a + d * (along * length) + n * across); };
  pen.Move(side(0, ra));
  pen.Curve(side(0.28, ra + left), side(0.60, rb + 0.55 * left), side(1, rb));
  pen.Curve(b + n * rb + d * 1.2 * rb, b - n * rb + d * 1.2 * rb, side(1, -rb));
  pen.Curve(side(0.60, -rb - 0.55 * right), side(0.28, -ra - right), side(0, -ra));
  pen.Curve(a - n * ra - d * 1.2 * ra, a + n * ra - d * 1.2 * ra, side(0, ra));
  pen.Close();
}

// A closed shape given by its right half, mirrored about x = 0. Each row: point, and the
// two handles of the curve that leads to it from the one before.
struct Knot {
  Vec2 in, out, at;
};
void Mirrored(Pen& pen, const Vec2& start, const std::vector<Knot>& right) {
  const auto flip = [](const Vec2& p) { return Vec2(-p.x(), p.y()); };
  pen.Move(start);
  for (const Knot& k : right) pen.Curve(k.in, k.out, k.at);
  for (auto k = right.rbegin(); k != right.rend(); ++k) {
    const Vec2 to = std::next(k) == right.rend() ? start : std::next(k)->at;
    pen.Curve(flip(k->out), flip(k->in), flip(to));
  }
  pen.Close();
}

}  // namespace

void DrawBlockBody(cairo_t* cr, const StandingBody& body, const Vec2& origin, double px_per_head,
                   const std::array<bool, kBoneCount>& off, const BlockStyle& style) {
  const auto at = [&body](P id) { return body.joints[static_cast<std::size_t>(id)]; };
  const auto departs = [&off](BoneId id) { return off[static_cast<std::size_t>(id)]; };
  Pen pen(cr, origin, px_per_head);
  cairo_save(cr);
  cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
  std::vector<std::pair<bool, std::function<void()>>> blocks;  // back to front
  const auto block = [&blocks](bool is_off, std::function<void()> path) { blocks.emplace_back(is_off, std::move(path)); };

  struct Side {
    P shoulder, elbow, wrist, tip, hip, knee, ankle, toe;
    BoneId upper, fore, hand, thigh, shin, foot;
    double out;
  };
  const std::array<Side, 2> sides = {
      {{P::kShoulderL, P::kElbowL, P::kWristL, P::kHandTipL, P::kHipL, P::kKneeL, P::kAnkleL, P::kToeL,
        BoneId::kUpperArmL, BoneId::kForearmL, BoneId::kHandL, BoneId::kThighL, BoneId::kShinL, BoneId::kFootL, 1.0},
       {P::kShoulderR, P::kElbowR, P::kWristR, P::kHandTipR, P::kHipR, P::kKneeR, P::kAnkleR, P::kToeR,
        BoneId::kUpperArmR, BoneId::kForearmR, BoneId::kHandR, BoneId::kThighR, BoneId::kShinR, BoneId::kFootR, -1.0}}};

  // Arms hang a little away from the hips, so that their lengths are seen: turn each about
  // the shoulder. Lengths stay.
  const auto hung = [](const Vec2& shoulder, const Vec2& p, double out) {
    const Vec2 r = p - shoulder;
    const double c = std::cos(out * kArmHangRad), s = std::sin(out * kArmHangRad);
    return Vec2(shoulder + Vec2(c * r.x() - s * r.y(), s * r.x() + c * r.y()));
  };
  const double unit = std::clamp(body.shoulder_width / 1.5, 0.55, 1.3);  // breadths follow the frame

  for (const Side& s : sides) {
    const double o = s.out;
    // Feet stand a little closer than the hips; heights stay as they are.
    const Vec2 hip = at(s.hip);
    const auto inward = [&hip](const Vec2& p, double by) { return Vec2(p.x() - by * hip.x(), p.y()); };
    const Vec2 knee = inward(at(s.knee), 0.14), ankle = inward(at(s.ankle), 0.26), toe = inward(at(s.toe), 0.26);
    // Foot: a wedge from the ankle to the turned-out toe, flat on the floor.
    block(departs(s.foot), [=, &pen] {
      const double floor = toe.y(), top = ankle.y() - floor;
      pen.Move({ankle.x() - o * 0.11 * unit, floor + 0.9 * top});
      pen.Curve({ankle.x() - o * 0.16 * unit, floor + 0.4 * top}, {ankle.x() - o * 0.15 * unit, floor}, {ankle.x() - o * 0.08 * unit, floor});
      pen.Line({toe.x() - o * 0.02, floor});
      pen.Curve({toe.x() + o * 0.06, floor}, {toe.x() + o * 0.05, floor + 0.55 * top}, {toe.x() - o * 0.06, floor + 0.6 * top});
      pen.Curve({ankle.x() + o * 0.2 * unit, floor + 0.75 * top}, {ankle.x() + o * 0.12 * unit, floor + 0.9 * top}, {ankle.x() + o * 0.11 * unit, floor + 1.1 * top});
      pen.Close();
    });
    const double outer = o > 0 ? 1.0 : 0.0, inner = 1.0 - outer;
    block(departs(s.shin), [=, &pen] { Limb(pen, knee, ankle, 0.17 * unit, 0.095 * unit, 0.06 * unit * (0.8 * outer + inner), 0.06 * unit * (outer + 0.8 * inner)); });
    block(departs(s.thigh), [=, &pen] { Limb(pen, hip + Vec2(0, -0.05), knee, 0.29 * unit, 0.165 * unit, (0.02 + 0.11 * inner) * unit, (0.02 + 0.11 * outer) * unit); });

    const Vec2 shoulder = at(s.shoulder), elbow = hung(shoulder, at(s.elbow), o), wrist = hung(shoulder, at(s.wrist), o),
               tip = hung(shoulder, at(s.tip), o);
    block(departs(s.hand), [=, &pen] { Limb(pen, wrist, tip - 0.05 * (tip - wrist).normalized(), 0.075 * unit, 0.05 * unit, 0.075 * unit, 0.075 * unit); });
    block(departs(s.fore), [=, &pen] { Limb(pen, elbow, wrist, 0.115 * unit, 0.075 * unit, 0.055 * unit, 0.055 * unit); });
    block(departs(s.upper), [=, &pen] { Limb(pen, shoulder, elbow, 0.165 * unit, 0.115 * unit, 0.03 * unit, 0.03 * unit); });
  }

  const double pit = at(P::kNeckPit).y(), chin = at(P::kChin).y(), crown = at(P::kCrown).y();
  const double hips = std::max(at(P::kHipL).y(), at(P::kHipR).y());
  const double trunk = pit - hips, half_shoulder = 0.5 * body.shoulder_width, half_hip = 0.5 * body.hip_width;
  const bool trunk_off = departs(BoneId::kTrunk);

  // Waist, pelvis, rib cage; then neck and head on top.
  const double rib = half_shoulder - 0.06 * unit, waist = 0.64 * rib, pelvis = half_hip + 0.26 * unit;
  const double rib_low = pit - 0.55 * trunk, waist_y = pit - 0.66 * trunk, pelvis_top = pit - 0.78 * trunk;
  block(trunk_off, [=, &pen, &body] {
    Mirrored(pen, {0, rib_low + 0.2 * trunk},
             {{{0.4 * rib, rib_low + 0.2 * trunk}, {0.7 * rib, rib_low + 0.12 * trunk}, {0.8 * rib, rib_low + 0.04 * trunk}},
              {{0.72 * rib, waist_y + 0.04 * trunk}, {waist, waist_y + 0.03 * trunk}, {waist + 0.02, waist_y - 0.02 * trunk}},
              {{waist + 0.06, pelvis_top}, {0.92 * pelvis, pelvis_top}, {0.95 * pelvis, pelvis_top - 0.07 * trunk}},
              {{0.5 * pelvis, pelvis_top - 0.09 * trunk}, {0.2 * pelvis, pelvis_top - 0.09 * trunk}, {0, pelvis_top - 0.09 * trunk}}});
  });
  block(trunk_off || departs(BoneId::kHipWidth), [=, &pen, &body] {
    Mirrored(pen, {0, pelvis_top - 0.03 * trunk},
             {{{0.5 * pelvis, pelvis_top - 0.02 * trunk}, {0.85 * pelvis, pelvis_top - 0.01 * trunk}, {0.93 * pelvis, pelvis_top - 0.05 * trunk}},
              {{1.02 * pelvis, hips + 0.05 * trunk}, {pelvis, hips - 0.02}, {0.9 * pelvis, hips - 0.1 * unit}},
              {{0.6 * pelvis, hips - 0.16 * unit}, {0.3 * pelvis, hips - 0.3 * unit}, {0, hips - 0.3 * unit}}});
  });
  block(trunk_off || departs(BoneId::kShoulderWidth), [=, &pen, &body] {
    Mirrored(pen, {0, pit + 0.02},
             {{{0.08 * unit, pit + 0.06}, {0.12 * unit, pit + 0.16}, {0.17 * unit, pit + 0.22}},
              {{0.3 * half_shoulder, pit + 0.13}, {0.7 * half_shoulder, pit + 0.13}, {half_shoulder, pit + 0.09}},
              {{half_shoulder + 0.01, pit - 0.1 * trunk}, {rib, pit - 0.2 * trunk}, {0.95 * rib, pit - 0.32 * trunk}},
              {{0.9 * rib, rib_low + 0.1 * trunk}, {0.84 * rib, rib_low + 0.04 * trunk}, {0.8 * rib, rib_low}},
              {{0.5 * rib, rib_low - 0.01 * trunk}, {0.3 * rib, rib_low + 0.12 * trunk}, {0, rib_low + 0.14 * trunk}}});
  });
  block(departs(BoneId::kNeck), [=, &pen, &body] {
    const double top = chin + 0.16 * body.head;
    Mirrored(pen, {0, top},
             {{{0.1, top}, {0.18 * unit, top}, {0.175 * unit, chin + 0.08 * body.head}},
              {{0.17 * unit, pit + 0.2}, {0.19 * unit, pit + 0.12}, {0.24 * unit, pit + 0.1}},
              {{0.12 * unit, pit + 0.05}, {0.06 * unit, pit}, {0, pit - 0.02}}});
  });
  block(departs(BoneId::kHead), [=, &pen, &body] {
    const double h = crown - chin, w = 0.35 * h;
    Mirrored(pen, {0, crown},
             {{{0.62 * w, crown}, {w, crown - 0.18 * h}, {w, crown - 0.42 * h}},
              {{w, crown - 0.64 * h}, {0.86 * w, crown - 0.80 * h}, {0.52 * w, crown - 0.95 * h}},
              {{0.38 * w, chin}, {0.2 * w, chin}, {0, chin}}});
  });

  // Contour first and the fills over its inner half: only the outer edge of the whole
  // body stays. Then the seams between the blocks, thin.
  cairo_set_line_cap(cr, CAIRO_LINE_CAP_BUTT);
  if (style.dashed) {
    const std::array<double, 2> dash = {4.0 * style.line_px, 2.3 * style.line_px};
    cairo_set_dash(cr, dash.data(), 2, 0.0);
  }
  for (const auto& [is_off, path] : blocks) {
    cairo_new_path(cr);
    path();
    cairo_set_line_width(cr, 2.0 * style.line_px);
    SetInk(cr, style.line);
    cairo_stroke(cr);
  }
  cairo_set_dash(cr, nullptr, 0, 0.0);
  for (const auto& [is_off, path] : blocks) {
    cairo_new_path(cr);
    path();
    SetInk(cr, is_off ? style.fill_off : style.fill);
    cairo_fill_preserve(cr);
    // Closes the hair gaps that antialiasing leaves between neighbours.
    cairo_set_line_width(cr, 0.6);
    cairo_stroke(cr);
    cairo_new_path(cr);
    path();
    cairo_set_line_width(cr, 0.5 * style.line_px);
    SetInk(cr, style.line.Faded(0.5));
    cairo_stroke(cr);
  }
  cairo_restore(cr);
}

}  // namespace armslength
