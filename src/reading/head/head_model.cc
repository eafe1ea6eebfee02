#include "reading/head/head_model.h"

#include <algorithm>

namespace armslength::head_internal {
namespace {

struct HeadRotation {
  double r00, r01, r02, r10, r11, r12;  // first two rows of roll * pitch * yaw
  double cp, sp, cy, sy;
  explicit HeadRotation(const double* pose) {
    cy = std::cos(pose[3]); sy = std::sin(pose[3]); cp = std::cos(pose[4]); sp = std::sin(pose[4]);
    const double cr = std::cos(pose[5]), sr = std::sin(pose[5]);
    // After yaw: (cy x + sy z, y, cy z - sy x); after pitch: y' = cp y - sp z1.
    r00 = cr * cy + sr * (-sp * sy); r01 = -sr * cp; r02 = cr * sy + sr * sp * cy;
    r10 = sr * cy - cr * (-sp * sy); r11 = cr * cp;  r12 = sr * sy - cr * sp * cy;
  }
};

}  // namespace

FaceSurface::FaceSurface(const double* shape)
    : half_width(std::max(shape[static_cast<int>(HeadParam::kHalfWidth)], 0.15)),
      depth(half_width * std::max(shape[static_cast<int>(HeadParam::kDepthRatio)], 0.5)),
      taper(std::max(shape[static_cast<int>(HeadParam::kTaper)], 0.52)),
      squareness(std::clamp(shape[static_cast<int>(HeadParam::kSquareness)], 1.5, 3.4)) {}

double FaceSurface::Girth(double y) const {
  const double u = (y - kSectionMiddle) / taper;
  return std::sqrt(std::max(1.0 - u * u, 0.05));
}

double FaceSurface::Depth(double x, double y) const {
  const double g = Girth(y);
  if (x == 0.0) return depth * g;
  const double r = std::min(std::abs(x) / (half_width * g) + 1e-6, 0.995);
  return depth * g * std::pow(1.0 - std::pow(r, squareness), 1.0 / squareness);
}

void ProjectHead(const double* theta, const double* fault, double* out) {
  const double* shape = theta + kPoseCount;
  const auto g = [&](HeadParam p) -> double { return shape[static_cast<int>(p)]; };
  using P = HeadParam;
  const FaceSurface face(shape);
  const HeadRotation rot(theta);
  const double scale = std::exp(theta[0]);
  const double zero(0.0);
  std::array<double, kHeadPointCount> px, py;
  const auto put = [&](int i, double x, double y, double z) {
    const double yc = y - 0.5;
    // Near parts come out larger; 1 / (1 - z / distance).
    const double near = 1.0 / std::max(0.5, 1.0 - theta[6] * (rot.cp * (rot.cy * z - rot.sy * x) + rot.sp * yc));
    px[i] = near * (rot.r00 * x + rot.r01 * yc + rot.r02 * z);
    py[i] = near * (rot.r10 * x + rot.r11 * yc + rot.r12 * z);
  };
  put(iHeadTop, zero, (1.0), g(P::kCrownDepth));
  put(iCrown, zero, (1.0 + g(P::kHairThickness)), g(P::kCrownDepth));
  put(iChin, zero, zero, face.Depth(zero, zero) + g(P::kChinDepth));

  // Face edge level with the eyes on the page. Far side: the section's outermost point; as the
  // edge lies behind the eyes, a nod moves the section that lands beside them up or down the
  // face. Near side: the front of the ear.
  const double ye = g(P::kEyeHeight);
  const double w = face.half_width * face.Girth(ye);
  const double turn = theta[3];
  const double q = face.squareness / (face.squareness - 1.0);
  const double sin_turn = turn < 0 ? -rot.sy : rot.sy;
  const double eye_depth = face.Depth(g(P::kEyeX), ye);
  double yc = ye, xc = 0.0, zc = 0.0;
  for (int step = 0; step < 3; ++step) {
    const double girth = face.Girth(yc), wc = face.half_width * girth, dc = face.depth * girth;
    const double ca = wc * std::max(rot.cy, 0.05), sa = dc * sin_turn + 1e-7;
    // e = (ca^q + sa^q)^(1/q), then (ca / e)^(q-1) and (sa / e)^(q-1): powers are what costs here.
    const double ca1 = std::pow(ca, q - 1.0), sa1 = std::pow(sa, q - 1.0);
    const double sum = ca1 * ca + sa1 * sa;
    const double e1 = std::pow(sum, 1.0 - 1.0 / q);
    xc = wc * ca1 / e1;
    zc = dc * sa1 / e1;
    const double behind = rot.cy * (eye_depth - zc) + sin_turn * xc;
    yc = ye - behind * rot.sp / std::max(rot.cp, 0.5);
  }
  const double xe = g(P::kEyeX);
  const double he = g(P::kEyeHalfWidth);
  const double nose_z = face.Depth(zero, g(P::kNoseBaseHeight)) + g(P::kNoseDepth);
  // The same on both sides.
  const double xi = xe - he, xo = xe + he;
  const double zi = face.Depth(xi, ye) + g(P::kEyeDepth) - g(P::kEyeDepthSlope) * he;
  const double zo = face.Depth(xo, ye) + g(P::kEyeDepth) + g(P::kEyeDepthSlope) * he;
  const double yb = ye + g(P::kBrowAboveEye), zb = face.Depth(g(P::kBrowX), yb) + g(P::kBrowDepth);
  const double ym = g(P::kMouthHeight) + g(P::kMouthLift);
  const double zm = face.Depth(g(P::kMouthHalfWidth), ym) + g(P::kMouthCornerDepth);
  for (int side = -1; side <= 1; side += 2) {
    const double s(static_cast<double>(side));
    const int l = side > 0 ? 0 : 1;  // left first
    if (side * turn > 0) put(iContourL + l, s * (xc + g(P::kFarEdge)), yc, zc);
    else put(iContourL + l, s * (w + g(P::kNearEdge)), ye, g(P::kEarDepth));
    put(iJawL + l, s * g(P::kJawX), g(P::kJawHeight), g(P::kJawDepth));
    const int eye = side > 0 ? iEyeLInner : iEyeRInner;
    put(eye, s * xi, ye - g(P::kEyeCant), zi);
    put(eye + 1, s * xo, ye + g(P::kEyeCant), zo);
    // The lids stand out square to the opening, which the round of the face turns outwards.
    const double wide = std::hypot(xo - xi, zo - zi) + 1e-9, bulge = g(P::kLidBulge) / wide;
    const double lid_x = xe + (zi - zo) * bulge, lid_z = 0.5 * (zi + zo) + (xo - xi) * bulge;
    put(eye + 2, s * lid_x, ye + g(P::kLidUp), lid_z);
    put(eye + 3, s * lid_x, ye - g(P::kLidDown), lid_z);
    put(iBrowL + l, s * g(P::kBrowX), yb, zb);
    put(iMouthL + l, s * g(P::kMouthHalfWidth), ym, zm);
    const int ear = side > 0 ? iEarLTop : iEarRTop;
    put(ear, s * (w + 0.015), ye + g(P::kEarTop), g(P::kEarDepth) - 0.05);
    put(ear + 1, s * (w + 0.005), g(P::kNoseBaseHeight) + g(P::kEarBottom), g(P::kEarDepth) - 0.02);
  }
  put(iNoseBase, zero, g(P::kNoseBaseHeight), nose_z);
  put(iNoseTip, zero, g(P::kNoseBaseHeight) + g(P::kNoseTipAbove), nose_z + g(P::kNoseProjection));
  put(iMouthC, zero, g(P::kMouthHeight), face.Depth(zero, g(P::kMouthHeight)) + g(P::kMouthDepth));
  put(iHairline, zero, g(P::kHairlineHeight), face.Depth(zero, g(P::kHairlineHeight)) + g(P::kHairlineDepth));

  // Across and up the face on the page, unit length.
  const double ex0 = rot.r00, ex1 = rot.r10;
  const double en = std::sqrt((ex0 * ex0 + ex1 * ex1 + 1e-9));
  const double ax = ex0 / en, ay = ex1 / en;
  const double un = std::sqrt((rot.r01 * rot.r01 + rot.r11 * rot.r11 + 1e-9));
  const double ux = rot.r01 / un, uy = rot.r11 / un;
  const int far = turn >= 0 ? 1 : -1;
  const int far_eye = far > 0 ? iEyeLInner : iEyeRInner, near_eye = far > 0 ? iEyeRInner : iEyeLInner;
  const auto eye_middle = [&](int eye, double& mx, double& my) {
    mx = 0.5 * (px[eye + 2] + px[eye + 3]) ; my = 0.5 * (py[eye + 2] + py[eye + 3]);
  };
  // The far eye as this artist draws it (a learned convention), then as the fault has it.
  const double convention = g(P::kFarEyeConvention);
  {
    const double fx = px[far_eye] - px[far_eye + 1], fy = py[far_eye] - py[far_eye + 1];
    const double nx = px[near_eye] - px[near_eye + 1], ny = py[near_eye] - py[near_eye + 1];
    const double ratio = std::sqrt(((nx * nx + ny * ny + 1e-9) / (fx * fx + fy * fy + 1e-9)));
    double grow = std::exp((convention * std::log(ratio)));
    double mx, my;
    eye_middle(far_eye, mx, my);
    for (int k = 0; k < 2; ++k) {  // only the width is left unforeshortened
      const double along = (px[far_eye + k] - mx) * ax + (py[far_eye + k] - my) * ay;
      px[far_eye + k] = px[far_eye + k] + (grow - 1.0) * along * ax;
      py[far_eye + k] = py[far_eye + k] + (grow - 1.0) * along * ay;
    }
  }
  if (fault) {
    using F = HeadFaultKind;
    const auto a = [&](F kind) -> double { return fault[static_cast<int>(kind)]; };
    const double face_width = 2.0 * face.half_width;
    // Nod of the features alone: only the bow of each row shows it, its height is style.
    const double nod = std::sin((theta[4] + a(F::kFeaturesTilt))) - rot.sp;
    const auto bow = [&](int i, double z, double z_middle) {
      px[i] = px[i] - (z - z_middle) * nod * ux;
      py[i] = py[i] - (z - z_middle) * nod * uy;
    };
    for (int side = -1; side <= 1; side += 2) {
      const double s(static_cast<double>(side));
      const auto turned = [&](double x, double z) { return (rot.cy * z - rot.sy * s * x); };
      const double mid_eye = rot.cy * face.Depth(zero, ye);
      const int eye = side > 0 ? iEyeLInner : iEyeRInner;
      const double xb = g(P::kBrowX), xm = g(P::kMouthHalfWidth), mouth_y = g(P::kMouthHeight);
      bow(eye, turned(xi, face.Depth(xi, ye)), mid_eye);
      bow(eye + 1, turned(xo, face.Depth(xo, ye)), mid_eye);
      bow(eye + 2, turned(xe, face.Depth(xe, ye)), mid_eye);
      bow(eye + 3, turned(xe, face.Depth(xe, ye)), mid_eye);
      bow(side > 0 ? iBrowL : iBrowR, turned(xb, face.Depth(xb, yb)), rot.cy * face.Depth(zero, yb));
      bow(side > 0 ? iMouthL : iMouthR, turned(xm, face.Depth(xm, mouth_y)), rot.cy * face.Depth(zero, mouth_y));
    }
    const auto shift = [&](int i, double across, double up) {
      px[i] = px[i] + across * ax + up * ux;
      py[i] = py[i] + across * ay + up * uy;
    };
    const auto turn_about = [&](int i, double mx, double my, double angle) {
      const double c = std::cos(angle), sn = std::sin(angle), dx = px[i] - mx, dy = py[i] - my;
      px[i] = mx + c * dx - sn * dy;
      py[i] = my + sn * dx + c * dy;
    };
    double mx, my;
    eye_middle(far_eye, mx, my);
    const double grow = std::exp(a(F::kEyeSize));
    for (int k = 0; k < 4; ++k) {
      px[far_eye + k] = mx + grow * (px[far_eye + k] - mx);
      py[far_eye + k] = my + grow * (py[far_eye + k] - my);
    }
    double lx, ly, rx, ry;
    eye_middle(iEyeLInner, lx, ly);
    eye_middle(iEyeRInner, rx, ry);
    for (int k = 0; k < 4; ++k) {
      turn_about(iEyeLInner + k, 0.5 * (lx + rx), 0.5 * (ly + ry), a(F::kEyeLineTilt));
      turn_about(iEyeRInner + k, 0.5 * (lx + rx), 0.5 * (ly + ry), a(F::kEyeLineTilt));
      shift(far_eye + k, a(F::kEyeSpacing) * face_width * static_cast<double>(far), zero);
      shift(iEyeLInner + k, zero, 0.5 * a(F::kEyeHeight));
      shift(iEyeRInner + k, zero, -0.5 * a(F::kEyeHeight));
    }
    shift(iBrowL, zero, 0.5 * a(F::kBrow));
    shift(iBrowR, zero, -0.5 * a(F::kBrow));
    shift(iNoseBase, a(F::kNoseOffset) * face_width, zero);
    shift(iNoseTip, a(F::kNoseOffset) * face_width, zero);
    for (int i : {iMouthL, iMouthR}) turn_about(i, px[iMouthC], py[iMouthC], a(F::kMouthTilt));
    for (int i : {iMouthL, iMouthR, iMouthC}) shift(i, a(F::kMouthOffset) * face_width, zero);
    shift(iChin, a(F::kChinOffset) * face_width, zero);
    for (int i : {iJawL, iJawR}) shift(i, a(F::kJawSkew) * face_width, zero);
    for (int k = 0; k < 2; ++k) {
      shift(iEarLTop + k, zero, 0.5 * a(F::kEarHeight));
      shift(iEarRTop + k, zero, -0.5 * a(F::kEarHeight));
    }
  }
  for (int i = 0; i < kHeadPointCount; ++i) {
    out[2 * i] = scale * px[i] + theta[1];
    out[2 * i + 1] = scale * py[i] + theta[2];
  }
}

}  // namespace armslength::head_internal
