// Small vector maths and the random source of the figure drawer. One source for the CPU (g++)
// and the GPU (nvcc): no library, no allocation, plain floats.
//
// Body frame: x to the figure's own left, y up, z forward. Camera frame: x right, y up, z toward
// the viewer; a figure with no turn faces the viewer, so its left is at the right of the picture.
// Units: standing height 1. Picture frame: 256 units square, y down.
#pragma once
#include <math.h>
#include <stdint.h>

#ifdef __CUDACC__
#define AL_BOTH __host__ __device__ inline
#define AL_LARGE __host__ __device__ __noinline__  // what is called from many places: one copy, or compiling takes very long
#else
#define AL_BOTH inline
#define AL_LARGE inline
#endif

namespace drawer {

constexpr float kDeg = 0.01745329252f;
constexpr float kTau = 6.28318530718f;
constexpr float kFrame = 256.0f;  // side of the picture frame, units

struct V2 { float x, y; };
struct V3 { float x, y, z; };
struct Colour { float r, g, b; };
struct Axes { V3 x, y, z; };  // images of the three unit vectors

AL_BOTH V2 operator+(V2 a, V2 b) { return {a.x + b.x, a.y + b.y}; }
AL_BOTH V2 operator-(V2 a, V2 b) { return {a.x - b.x, a.y - b.y}; }
AL_BOTH V2 operator*(V2 a, float s) { return {a.x * s, a.y * s}; }
AL_BOTH float Length(V2 a) { return sqrtf(a.x * a.x + a.y * a.y); }
AL_BOTH V3 operator+(V3 a, V3 b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
AL_BOTH V3 operator-(V3 a, V3 b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
AL_BOTH V3 operator*(V3 a, float s) { return {a.x * s, a.y * s, a.z * s}; }
AL_BOTH float Dot(V3 a, V3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
AL_BOTH V3 Cross(V3 a, V3 b) { return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x}; }
AL_BOTH float Length(V3 a) { return sqrtf(Dot(a, a)); }
AL_BOTH V3 Unit(V3 a) { return a * (1.0f / (Length(a) + 1e-7f)); }
AL_BOTH V3 Mix(V3 a, V3 b, float t) { return a * (1.0f - t) + b * t; }
AL_BOTH V2 Mix(V2 a, V2 b, float t) { return a * (1.0f - t) + b * t; }
AL_BOTH float Mix(float a, float b, float t) { return a + (b - a) * t; }
AL_BOTH Colour Mix(Colour a, Colour b, float t) {
  return {a.r + (b.r - a.r) * t, a.g + (b.g - a.g) * t, a.b + (b.b - a.b) * t};
}
AL_BOTH Colour Dim(Colour c, float k) { return {c.r * k, c.g * k, c.b * k}; }
AL_BOTH float Grey(Colour c) { return 0.30f * c.r + 0.59f * c.g + 0.11f * c.b; }
AL_BOTH float Min(float a, float b) { return a < b ? a : b; }
AL_BOTH float Max(float a, float b) { return a > b ? a : b; }
AL_BOTH float Clamp(float x, float lo, float hi) { return x < lo ? lo : (x > hi ? hi : x); }
AL_BOTH float Smooth(float t) { t = Clamp(t, 0, 1); return t * t * (3.0f - 2.0f * t); }
// The part of `a` at right angles to the unit vector `d`, made a unit vector.
AL_BOTH V3 Across(V3 a, V3 d) { return Unit(a - d * Dot(a, d)); }
AL_BOTH V3 operator*(const Axes& m, V3 v) { return m.x * v.x + m.y * v.y + m.z * v.z; }
AL_BOTH Axes operator*(const Axes& a, const Axes& b) { return {a * b.x, a * b.y, a * b.z}; }
AL_BOTH Axes TurnX(float t) { const float c = cosf(t), s = sinf(t); return {{1, 0, 0}, {0, c, s}, {0, -s, c}}; }
AL_BOTH Axes TurnY(float t) { const float c = cosf(t), s = sinf(t); return {{c, 0, -s}, {0, 1, 0}, {s, 0, c}}; }
AL_BOTH Axes TurnZ(float t) { const float c = cosf(t), s = sinf(t); return {{c, s, 0}, {-s, c, 0}, {0, 0, 1}}; }
AL_BOTH V3 TurnAbout(V3 v, V3 k, float t) {
  const float c = cosf(t), s = sinf(t);
  return v * c + Cross(k, v) * s + k * (Dot(k, v) * (1 - c));
}

// PCG output function over a linear congruential state (O'Neill 2014): small, same on both machines.
struct Random {
  uint32_t state;
  AL_BOTH uint32_t Next() {
    state = state * 747796405u + 2891336453u;
    const uint32_t w = ((state >> ((state >> 28) + 4)) ^ state) * 277803737u;
    return (w >> 22) ^ w;
  }
  AL_BOTH float F() { return (Next() >> 8) * (1.0f / 16777216.0f); }
  AL_BOTH float In(float lo, float hi) { return lo + (hi - lo) * F(); }
  AL_BOTH bool Chance(float p) { return F() < p; }
  AL_BOTH int Below(int n) { return static_cast<int>(Next() % static_cast<uint32_t>(n)); }
  AL_BOTH float Sign() { return Chance(0.5f) ? 1.0f : -1.0f; }
  // Bell shaped, spread `sd`, within +-3.46 sd (sum of four uniform numbers).
  AL_BOTH float Bell(float sd) { return (F() + F() + F() + F() - 2.0f) * 1.732f * sd; }
};

AL_BOTH float Hash(int x, int y) {
  uint32_t h = static_cast<uint32_t>(x) * 374761393u + static_cast<uint32_t>(y) * 668265263u;
  h = (h ^ (h >> 13)) * 1274126177u;
  h ^= h >> 16;
  return (h & 0xffffff) / 16777216.0f;
}
// Value noise, 0..1, one cell a unit.
AL_BOTH float Noise(float x, float y) {
  const int ix = static_cast<int>(floorf(x)), iy = static_cast<int>(floorf(y));
  float fx = x - ix, fy = y - iy;
  fx = fx * fx * (3 - 2 * fx);
  fy = fy * fy * (3 - 2 * fy);
  return Mix(Mix(Hash(ix, iy), Hash(ix + 1, iy), fx), Mix(Hash(ix, iy + 1), Hash(ix + 1, iy + 1), fx), fy);
}

AL_BOTH Colour RandomColour(Random& r) {
  const float hue = r.F() * 6, sat = r.Chance(0.3f) ? r.In(0, 0.3f) : r.In(0.3f, 1), value = r.In(0.1f, 1);
  if (r.Chance(0.14f)) {
    const float g = r.Chance(0.5f) ? r.In(0, 0.25f) : r.In(0.8f, 1);
    return {g, g, g};
  }
  float c[3];
  for (int i = 0; i < 3; ++i) {
    const float k = fmodf(5 - 2 * i + hue, 6.0f);
    c[i] = value - value * sat * Max(0, Min(Min(k, 4 - k), 1));
  }
  return {c[0], c[1], c[2]};
}

}  // namespace drawer
