#include "check/pixels/strokes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <unordered_map>

#include "check/pixels/thinning.h"
#include "support/job.h"

namespace armslength {
namespace {

using Index = std::uint32_t;

struct Edge {
  std::size_t first = 0, count = 0;  // in the point pool
  int node_a = -1, node_b = -1;      // -1: free
  bool closed = false, dropped = false;
  int next_a = -1, next_b = -1;      // edge end joined there: 2 * edge + (1 if its end b)
};

// Distance from a pixel to the nearest one without ink, px, up to `limit`.
double DepthInInk(const PlaneU8& plane, Index at, int limit) {
  const std::ptrdiff_t s = plane.width();
  const int x = static_cast<int>(at % static_cast<Index>(s)), y = static_cast<int>(at / static_cast<Index>(s));
  int best = limit * limit;
  const auto try_at = [&](int px, int py, int d2) {
    if (d2 < best && (px < 0 || py < 0 || px >= plane.width() || py >= plane.height() || (plane.Row(py)[px] & kInk) == 0)) best = d2;
  };
  for (int r = 1; r * r < best; ++r)
    for (int k = -r; k <= r; ++k) {
      const int d2 = r * r + k * k;
      try_at(x + k, y - r, d2);
      try_at(x + k, y + r, d2);
      try_at(x - r, y + k, d2);
      try_at(x + r, y + k, d2);
    }
  return std::sqrt(static_cast<double>(best));
}

class Tracer {
 public:
  Tracer(PlaneU8& plane, const std::vector<Index>& skeleton) : plane_(plane), skeleton_(skeleton) {
    const std::ptrdiff_t s = plane.width();
    off_ = {-s, -s + 1, 1, s + 1, s, s - 1, -1, -s - 1};
  }

  std::vector<Edge> edges;
  std::vector<Index> pool;
  int nodes = 0;

  void Run() {
    for (const Index i : skeleton_)
      if (Degree(i) >= 3) node_of_.emplace(i, -1);
    std::vector<Index> stack;
    for (const Index i : skeleton_) {  // clusters in raster order, so that the result is the same every time
      const auto it = node_of_.find(i);
      if (it == node_of_.end() || it->second >= 0) continue;
      it->second = nodes;
      stack.assign(1, i);
      while (!stack.empty()) {
        const Index j = stack.back();
        stack.pop_back();
        for (const std::ptrdiff_t o : off_) {
          const auto n = node_of_.find(static_cast<Index>(j + o));
          if (n != node_of_.end() && n->second < 0) {
            n->second = nodes;
            stack.push_back(n->first);
          }
        }
      }
      ++nodes;
    }
    for (const Index i : skeleton_)
      if (!Visited(i) && Degree(i) == 1 && !IsNode(i)) Follow(i, -1);
    for (const Index i : skeleton_) {
      const auto it = node_of_.find(i);
      if (it == node_of_.end()) continue;
      for (const std::ptrdiff_t o : off_) {
        const auto j = static_cast<Index>(i + o);
        if (Thin(j) && !Visited(j) && !IsNode(j)) Follow(j, it->second);
      }
    }
    for (const Index i : skeleton_)
      if (!Visited(i) && !IsNode(i) && Degree(i) == 2) Follow(i, -2);
  }

 private:
  [[nodiscard]] bool Thin(Index i) const { return (plane_.data()[i] & kThin) != 0; }
  [[nodiscard]] bool Visited(Index i) const { return (plane_.data()[i] & kVisited) != 0; }
  [[nodiscard]] bool IsNode(Index i) const { return node_of_.contains(i); }
  [[nodiscard]] int Degree(Index i) const {
    int n = 0;
    for (const std::ptrdiff_t o : off_) n += Thin(static_cast<Index>(i + o));
    return n;
  }

  void Follow(Index start, int node) {
    Edge edge;
    edge.first = pool.size();
    edge.node_a = node;
    Index at = start;
    while (true) {
      plane_.data()[at] |= kVisited;
      pool.push_back(at);
      Index next = 0;
      int end_node = -1;
      bool found = false;
      // Straight neighbours first, so that a corner is not skipped.
      for (const int k : {0, 2, 4, 6, 1, 3, 5, 7}) {
        const auto j = static_cast<Index>(at + off_[static_cast<std::size_t>(k)]);
        if (!Thin(j)) continue;
        const auto it = node_of_.find(j);
        if (it != node_of_.end()) {
          // The first pixel of an edge from a node touches that node: not its other end.
          if (pool.size() - edge.first <= 1 && it->second == node) continue;
          if (end_node < 0) end_node = it->second;
          continue;
        }
        if (!Visited(j) && !found) {
          next = j;
          found = true;
        }
      }
      // At the second pixel the own node may still adjoin over a corner.
      if (end_node >= 0 && !(end_node == node && pool.size() - edge.first <= 2 && found)) {
        edge.node_b = end_node;
        break;
      }
      if (!found) break;
      at = next;
    }
    edge.count = pool.size() - edge.first;
    if (node == -2) {
      edge.node_a = -1;
      edge.closed = edge.count > 4;
    }
    edges.push_back(edge);
  }

  PlaneU8& plane_;
  const std::vector<Index>& skeleton_;
  std::array<std::ptrdiff_t, 8> off_{};
  std::unordered_map<Index, int> node_of_;
};

Eigen::Vector2f At(Index i, std::ptrdiff_t s) {
  return {static_cast<float>(static_cast<std::ptrdiff_t>(i) % s) - 1.0f + 0.5f,
          static_cast<float>(static_cast<std::ptrdiff_t>(i) / s) - 1.0f + 0.5f};
}

// Bilinear L byte at a place in picture px ((0,0) the outer corner of the first pixel).
float Sample(const PlaneU8& l, float x, float y) {
  x = std::clamp(x - 0.5f, 0.0f, static_cast<float>(l.width()) - 1.001f);
  y = std::clamp(y - 0.5f, 0.0f, static_cast<float>(l.height()) - 1.001f);
  const int xi = static_cast<int>(x), yi = static_cast<int>(y);
  const float fx = x - static_cast<float>(xi), fy = y - static_cast<float>(yi);
  const int x1 = std::min(xi + 1, l.width() - 1), y1 = std::min(yi + 1, l.height() - 1);
  const std::uint8_t *a = l.Row(yi), *b = l.Row(y1);
  const float top = static_cast<float>(a[xi]) * (1 - fx) + static_cast<float>(a[x1]) * fx;
  const float low = static_cast<float>(b[xi]) * (1 - fx) + static_cast<float>(b[x1]) * fx;
  return top * (1 - fy) + low * fy;
}

// From `at` along `n` to where the line's half contrast is crossed; negative: not within `limit`.
float ToEdge(const PlaneU8& l, Eigen::Vector2f at, Eigen::Vector2f n, float threshold, float limit) {
  float before = Sample(l, at.x(), at.y());
  if (before >= threshold) return 0.0f;
  for (float r = 1.0f; r <= limit; r += 1.0f) {
    const float here = Sample(l, at.x() + n.x() * r, at.y() + n.y() * r);
    if (here >= threshold) return r - 1.0f + (threshold - before) / std::max(1e-3f, here - before);
    before = here;
  }
  return -1.0f;
}

void Measure(StrokeSample& s, const InkMask& ink, const PlaneU8& l, float limit) {
  const int px = std::clamp(static_cast<int>(s.x), 0, l.width() - 1), py = std::clamp(static_cast<int>(s.y), 0, l.height() - 1);
  const float threshold = ink.threshold[ink.Cell(px, py)];
  const Eigen::Vector2f at(s.x, s.y), left(s.ty, -s.tx);  // y runs down: left of the direction
  const float a = threshold > 0 ? ToEdge(l, at, left, threshold, limit) : -1.0f;
  const float b = threshold > 0 ? ToEdge(l, at, -left, threshold, limit) : -1.0f;
  const float beyond = 1.5f + 0.5f * std::max({a, b, 1.0f});
  const float ra = (a < 0 ? limit * 0.5f : a) + beyond, rb = (b < 0 ? limit * 0.5f : b) + beyond;
  s.left_l = static_cast<std::uint8_t>(Sample(l, s.x + left.x() * ra, s.y + left.y() * ra));
  s.right_l = static_cast<std::uint8_t>(Sample(l, s.x - left.x() * rb, s.y - left.y() * rb));
  if (a < 0 || b < 0 || a + b < 0.3f) return;
  s.width = a + b;
  const float shift = std::clamp((a - b) / 2, -0.5f * s.width, 0.5f * s.width);
  s.x += left.x() * shift;
  s.y += left.y() * shift;
}

}  // namespace

StrokeGraph TraceStrokes(InkMask& ink, const std::vector<std::uint32_t>& skeleton, const PlaneU8& l, int threads) {
  StrokeGraph out;
  out.skeleton_px = skeleton.size();
  if (skeleton.empty()) return out;
  PlaneU8& plane = ink.plane;
  const std::ptrdiff_t s = plane.width();

  // A first idea of the line width, from the depth of the ink under the skeleton.
  std::vector<double> depths;
  const std::size_t every = std::max<std::size_t>(1, skeleton.size() / 3000);
  for (std::size_t i = 0; i < skeleton.size(); i += every) depths.push_back(DepthInInk(plane, skeleton[i], ink.width_limit_px));
  std::nth_element(depths.begin(), depths.begin() + static_cast<std::ptrdiff_t>(depths.size() / 2), depths.end());
  const double w0 = std::max(1.0, 2.0 * depths[depths.size() / 2] - 1.0);

  Tracer trace(plane, skeleton);
  trace.Run();
  std::vector<Edge>& edges = trace.edges;
  const std::vector<Index>& pool = trace.pool;

  // Spurs: thinning leaves short twigs from the middle of the line to its bumps and corners.
  std::vector<std::vector<int>> at_node(static_cast<std::size_t>(trace.nodes));
  for (std::size_t e = 0; e < edges.size(); ++e) {
    Edge& edge = edges[e];
    const bool free_a = edge.node_a < 0, free_b = edge.node_b < 0;
    if (!edge.closed && free_a != free_b) {
      const Index root = free_a ? pool[edge.first + edge.count - 1] : pool[edge.first];
      const double n = static_cast<double>(edge.count);
      if (n < 2.5 * w0 + 4 && n <= 1.25 * DepthInInk(plane, root, ink.width_limit_px) + 0.25 * w0 + 2.0) edge.dropped = true;
    }
    if (edge.dropped) continue;
    if (!free_a) at_node[static_cast<std::size_t>(edge.node_a)].push_back(static_cast<int>(2 * e));
    if (!free_b) at_node[static_cast<std::size_t>(edge.node_b)].push_back(static_cast<int>(2 * e + 1));
  }
  // Direction of an edge as it leaves its node.
  const auto leaving = [&](int end) {
    const Edge& edge = edges[static_cast<std::size_t>(end / 2)];
    const auto far = std::min<std::size_t>(edge.count - 1, static_cast<std::size_t>(2.0 * w0 + 4.0));
    const auto near = std::min<std::size_t>(far, static_cast<std::size_t>(0.5 * w0));
    const bool b = (end & 1) != 0;
    const std::size_t last = edge.first + edge.count - 1;
    const Eigen::Vector2f p = At(pool[b ? last - near : edge.first + near], s), q = At(pool[b ? last - far : edge.first + far], s);
    const Eigen::Vector2f d = q - p;
    return d.norm() > 0 ? Eigen::Vector2f(d / d.norm()) : Eigen::Vector2f(0, 0);
  };
  const auto join = [&](int a, int b) {
    (a & 1 ? edges[static_cast<std::size_t>(a / 2)].next_b : edges[static_cast<std::size_t>(a / 2)].next_a) = b;
    (b & 1 ? edges[static_cast<std::size_t>(b / 2)].next_b : edges[static_cast<std::size_t>(b / 2)].next_a) = a;
  };
  for (auto& ends : at_node) {
    if (ends.size() == 2 && ends[0] / 2 != ends[1] / 2) {
      join(ends[0], ends[1]);
      continue;
    }
    if (ends.size() < 3 || ends.size() > 12) continue;
    std::vector<Eigen::Vector2f> d;
    for (const int e : ends) d.push_back(leaving(e));
    std::vector<bool> used(ends.size());
    while (true) {
      float best = -0.87f;  // straight on within 30 degrees
      std::size_t bi = 0, bj = 0;
      for (std::size_t i = 0; i < ends.size(); ++i)
        for (std::size_t j = i + 1; j < ends.size(); ++j)
          if (!used[i] && !used[j] && ends[i] / 2 != ends[j] / 2 && d[i].dot(d[j]) < best) {
            best = d[i].dot(d[j]);
            bi = i;
            bj = j;
          }
      if (bj == 0) break;
      used[bi] = used[bj] = true;
      join(ends[bi], ends[bj]);
    }
  }

  // Chains of joined edges.
  out.step_px = std::max(1.0, w0 / 4.0);
  const auto step = static_cast<float>(out.step_px);
  const float limit = static_cast<float>(ink.width_limit_px);
  const int smooth = std::max(1, static_cast<int>(std::lround(w0 / 3.0)));
  std::vector<bool> taken(edges.size());
  std::vector<Eigen::Vector2f> path, even;
  std::vector<float> widths;
  for (std::size_t seed = 0; seed < edges.size(); ++seed) {
    if (taken[seed] || edges[seed].dropped) continue;
    // Back to the chain's beginning, or once round a loop.
    int end = static_cast<int>(2 * seed);  // walk out through end a
    bool loop = false;
    while (true) {
      const Edge& edge = edges[static_cast<std::size_t>(end / 2)];
      const int next = end & 1 ? edge.next_b : edge.next_a;
      if (next < 0) break;
      end = next ^ 1;
      if (end / 2 == static_cast<int>(seed)) {
        loop = true;
        break;
      }
    }
    const auto touches = [&](int e) {  // does another line touch this end?
      const Edge& edge = edges[static_cast<std::size_t>(e / 2)];
      const int node = e & 1 ? edge.node_b : edge.node_a;
      return node >= 0 && at_node[static_cast<std::size_t>(node)].size() > 1;
    };
    Stroke stroke;
    stroke.closed = loop || edges[seed].closed;
    stroke.free_begin = !stroke.closed && !touches(end);
    path.clear();
    int from = end;
    while (true) {
      const Edge& edge = edges[static_cast<std::size_t>(from / 2)];
      taken[static_cast<std::size_t>(from / 2)] = true;
      for (std::size_t k = 0; k < edge.count; ++k)
        path.push_back(At(pool[from & 1 ? edge.first + edge.count - 1 - k : edge.first + k], s));
      const int out_end = from ^ 1;
      const int next = out_end & 1 ? edge.next_b : edge.next_a;
      if (next < 0 || taken[static_cast<std::size_t>(next / 2)]) {
        stroke.free_end = !stroke.closed && next < 0 && !touches(out_end);
        break;
      }
      from = next;
    }
    if (stroke.closed) path.push_back(path.front());
    if (path.size() < 2) continue;
    // Smoothed and cut into even steps.
    even.clear();
    const int n = static_cast<int>(path.size());
    std::vector<Eigen::Vector2f> sum(static_cast<std::size_t>(n) + 1, Eigen::Vector2f::Zero());
    const Eigen::Vector2f origin = path.front();
    for (int i = 0; i < n; ++i) sum[static_cast<std::size_t>(i) + 1] = sum[static_cast<std::size_t>(i)] + (path[static_cast<std::size_t>(i)] - origin);
    const auto mean = [&](int i) {
      const int r = std::min({smooth, i, n - 1 - i});
      return Eigen::Vector2f(origin + (sum[static_cast<std::size_t>(i + r) + 1] - sum[static_cast<std::size_t>(i - r)]) / static_cast<float>(2 * r + 1));
    };
    Eigen::Vector2f before = mean(0);
    even.push_back(before);
    float carry = 0.0f;
    for (int i = 1; i < n; ++i) {
      const Eigen::Vector2f here = mean(i);
      const float d = (here - before).norm();
      stroke.length_px += static_cast<double>(d);
      float t = step - carry;
      while (t <= d) {
        even.push_back(before + (here - before) * (t / d));
        t += step;
      }
      carry = d - (t - step);
      before = here;
    }
    if (even.size() < 2 || stroke.length_px < w0) continue;
    const int m = static_cast<int>(even.size());
    const int reach = std::max(1, static_cast<int>(std::lround(w0 / (2.0 * out.step_px))));
    stroke.samples.resize(even.size());
    for (int i = 0; i < m; ++i) {
      StrokeSample& sample = stroke.samples[static_cast<std::size_t>(i)];
      Eigen::Vector2f t = even[static_cast<std::size_t>(std::min(m - 1, i + reach))] - even[static_cast<std::size_t>(std::max(0, i - reach))];
      t /= std::max(1e-3f, t.norm());
      sample.x = even[static_cast<std::size_t>(i)].x();
      sample.y = even[static_cast<std::size_t>(i)].y();
      sample.tx = t.x();
      sample.ty = t.y();
    }
    out.length_px += stroke.length_px;
    out.strokes.push_back(std::move(stroke));
  }
  constexpr std::size_t kStrokesPerTask = 64;
  ParallelFor(static_cast<int>((out.strokes.size() + kStrokesPerTask - 1) / kStrokesPerTask), threads, [&](int task) {
    const std::size_t first = static_cast<std::size_t>(task) * kStrokesPerTask;
    for (std::size_t k = first; k < std::min(out.strokes.size(), first + kStrokesPerTask); ++k)
      for (StrokeSample& sample : out.strokes[k].samples) Measure(sample, ink, l, limit);
  });
  for (const Stroke& stroke : out.strokes)
    for (const StrokeSample& sample : stroke.samples)
      if (sample.width > 0) widths.push_back(sample.width);
  if (!widths.empty()) {
    const auto middle = widths.begin() + static_cast<std::ptrdiff_t>(widths.size() / 2);
    std::nth_element(widths.begin(), middle, widths.end());
    out.width_px = static_cast<double>(*middle);
  } else {
    out.width_px = w0;
  }

  // Open ends: on from the last sample to where the ink stops.
  const double w = out.width_px;
  for (std::size_t k = 0; k < out.strokes.size(); ++k) {
    const Stroke& stroke = out.strokes[k];
    for (const bool begin : {true, false}) {
      if (!(begin ? stroke.free_begin : stroke.free_end)) continue;
      const int m = static_cast<int>(stroke.samples.size());
      const auto at = [&](int i) -> const StrokeSample& { return stroke.samples[static_cast<std::size_t>(begin ? i : m - 1 - i)]; };
      const int near = std::min(m - 1, static_cast<int>(std::lround(0.5 * w / out.step_px)));
      const int far = std::min(m - 1, static_cast<int>(std::lround(3.0 * w / out.step_px)));
      if (far <= near) continue;
      Vec2 d(static_cast<double>(at(near).x - at(far).x), static_cast<double>(at(near).y - at(far).y));
      if (d.norm() < 1e-3) continue;
      d.normalize();
      OpenEnd end;
      end.stroke = static_cast<int>(k);
      end.at_begin = begin;
      end.direction = d;
      // A line, not the corner of a fill: measured on both sides, and about as wide as lines are here.
      double sum = 0;
      int count = 0, looked = 0;
      for (int i = near; i <= std::min(m - 1, 2 * far); ++i, ++looked)
        if (at(i).width > 0) {
          sum += static_cast<double>(at(i).width);
          ++count;
        }
      if (stroke.length_px < 5.0 * w || 10 * count < 8 * looked) continue;
      end.width = sum / count;
      double tip = 0;
      int tips = 0;
      for (int i = near; i <= std::min(m - 1, near + std::max(1, static_cast<int>(w / out.step_px))); ++i)
        if (at(i).width > 0) tip += static_cast<double>(at(i).width), ++tips;
      if (tips > 0) end.blunt = tip / tips / end.width;
      if (end.width > 2.5 * w) continue;
      Vec2 p(static_cast<double>(at(0).x), static_cast<double>(at(0).y));
      for (double r = 0; r < 2 * w; r += 0.5) {
        const Vec2 q = p + d * 0.5;
        const int qx = static_cast<int>(q.x()) + 1, qy = static_cast<int>(q.y()) + 1;
        if (qx < 0 || qy < 0 || qx >= plane.width() || qy >= plane.height() || (plane.Row(qy)[qx] & kInk) == 0) break;
        p = q;
      }
      end.at = p;
      // A line that runs into a dark fill does not end there.
      const int cx = std::clamp(static_cast<int>(p.x()), 0, l.width() - 1), cy = std::clamp(static_cast<int>(p.y()), 0, l.height() - 1);
      const Vec2 ahead = p + d * std::max(2.0, 0.4 * w);
      const float limit_l = std::max<float>(ink.threshold[ink.Cell(cx, cy)], 1.0f);
      // Nothing light on the way there; behind a gap of two pixels the line's other part stands already.
      float lightest = 0.0f;
      for (double r = 1.0; r <= (ahead - p).norm() + 1e-9; r += 0.5)
        lightest = std::max(lightest, Sample(l, static_cast<float>(p.x() + d.x() * r), static_cast<float>(p.y() + d.y() * r)));
      if (lightest < limit_l) continue;
      if (ahead.x() < 1 || ahead.y() < 1 || ahead.x() > l.width() - 1 || ahead.y() > l.height() - 1) continue;
      out.ends.push_back(end);
    }
  }
  return out;
}

}  // namespace armslength
