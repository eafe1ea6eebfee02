// Entry points of the figure drawer, one source for nvcc and for g++ (-x c++).
// All arrays are float32; on the GPU they and `scratch` live in device memory.
#include "scene.h"

#include <cstddef>

namespace drawer {

struct Slot { Scene scene; Labels labels; };
// A square view of a scene: point (i, j) of the picture shows x0 + ux (i + 1/2) - uy (j + 1/2),
// y0 + uy (i + 1/2) + ux (j + 1/2).
struct Window { float x0, y0, ux, uy; };

#ifdef __CUDACC__

__global__ void MakeScenes(uint32_t seed, int n, int kind, Slot* slots) {
  const int i = blockIdx.x * blockDim.x + threadIdx.x;
  if (i < n) MakeScene(seed + i, kind, slots[i].scene, slots[i].labels);
}
__global__ void CopyLabels(const Slot* slots, float* out) {
  constexpr int kFloats = sizeof(Labels) / sizeof(float);
  const float* from = reinterpret_cast<const float*>(&slots[blockIdx.x].labels);
  for (int j = threadIdx.x; j < kFloats; j += blockDim.x) out[blockIdx.x * kFloats + j] = from[j];
}
// 16 x 16 points a block: first the shapes that can touch the tile are listed in painting order.
__global__ void Paint(const Slot* slots, const int* which, const Window* windows, int side, float* out) {
  __shared__ uint16_t list[kMaxShapes];
  __shared__ uint8_t hit[kMaxShapes];
  __shared__ int count;
  const int image = blockIdx.z;
  const Scene& s = slots[which ? which[image] : image].scene;
  const Window w = windows ? windows[image] : Window{0, 0, kFrame / side, 0};
  const int t = threadIdx.y * 16 + threadIdx.x;
  float x0 = 1e9f, y0 = 1e9f, x1 = -1e9f, y1 = -1e9f;
  for (int c = 0; c < 4; ++c) {
    const float i = (blockIdx.x + (c & 1)) * 16.0f, j = (blockIdx.y + (c >> 1)) * 16.0f;
    const float x = w.x0 + w.ux * i - w.uy * j, y = w.y0 + w.uy * i + w.ux * j;
    x0 = fminf(x0, x); x1 = fmaxf(x1, x); y0 = fminf(y0, y); y1 = fmaxf(y1, y);
  }
  const float m = 3.0f;  // the hand's wander
  for (int k = t; k < s.shapes; k += 256) {
    const Shape& f = s.shape[s.order[k]];
    hit[k] = !(f.x0 > x1 + m || f.x1 < x0 - m || f.y0 > y1 + m || f.y1 < y0 - m);
  }
  __syncthreads();
  if (t == 0) {
    int n = 0;
    for (int k = 0; k < s.shapes; ++k) if (hit[k]) list[n++] = static_cast<uint16_t>(s.order[k]);
    count = n;
  }
  __syncthreads();
  const int i = blockIdx.x * 16 + threadIdx.x, j = blockIdx.y * 16 + threadIdx.y;
  const float x = w.x0 + w.ux * (i + 0.5f) - w.uy * (j + 0.5f), y = w.y0 + w.uy * (i + 0.5f) + w.ux * (j + 0.5f);
  const Colour c = PointColour(s, list, count, x, y, sqrtf(w.ux * w.ux + w.uy * w.uy));
  float* o = out + static_cast<size_t>(image) * 3 * side * side + j * side + i;
  o[0] = c.r; o[side * side] = c.g; o[2 * side * side] = c.b;
}

#endif
}  // namespace drawer

using namespace drawer;
extern "C" size_t drawer_slot_bytes() { return sizeof(Slot); }
extern "C" int drawer_label_floats() { return sizeof(Labels) / sizeof(float); }

#ifdef __CUDACC__
extern "C" int drawer_make(uint32_t seed, int n, int kind, void* scratch, float* labels, void* stream) {
  cudaStream_t st = static_cast<cudaStream_t>(stream);
  // Few threads a block: every scene takes its own path, so threads of one warp would wait for each other.
  MakeScenes<<<(n + 3) / 4, 4, 0, st>>>(seed, n, kind, static_cast<Slot*>(scratch));
  CopyLabels<<<n, 64, 0, st>>>(static_cast<Slot*>(scratch), labels);
  return static_cast<int>(cudaGetLastError());
}
extern "C" int drawer_paint(const void* scratch, const int* which, const float* windows, int images, int side, float* out, void* stream) {
  cudaStream_t st = static_cast<cudaStream_t>(stream);
  Paint<<<dim3(side / 16, side / 16, images), dim3(16, 16), 0, st>>>(static_cast<const Slot*>(scratch), which, reinterpret_cast<const Window*>(windows), side, out);
  return static_cast<int>(cudaGetLastError());
}
#else
extern "C" int drawer_make(uint32_t seed, int n, int kind, void* scratch, float* labels, void*) {
  Slot* slots = static_cast<Slot*>(scratch);
  for (int i = 0; i < n; ++i) {
    MakeScene(seed + i, kind, slots[i].scene, slots[i].labels);
    const float* from = reinterpret_cast<const float*>(&slots[i].labels);
    for (int j = 0; j < drawer_label_floats(); ++j) labels[i * drawer_label_floats() + j] = from[j];
  }
  return 0;
}
extern "C" int drawer_paint(const void* scratch, const int* which, const float* windows, int images, int side, float* out, void*) {
  const Slot* slots = static_cast<const Slot*>(scratch);
  uint16_t list[kMaxShapes];
  for (int k = 0; k < images; ++k) {
    const Scene& s = slots[which ? which[k] : k].scene;
    const Window w = windows ? reinterpret_cast<const Window*>(windows)[k] : Window{0, 0, kFrame / side, 0};
    for (int i = 0; i < s.shapes; ++i) list[i] = static_cast<uint16_t>(s.order[i]);
    for (int j = 0; j < side; ++j)
      for (int i = 0; i < side; ++i) {
        const float x = w.x0 + w.ux * (i + 0.5f) - w.uy * (j + 0.5f), y = w.y0 + w.uy * (i + 0.5f) + w.ux * (j + 0.5f);
        const Colour c = PointColour(s, list, s.shapes, x, y, sqrtf(w.ux * w.ux + w.uy * w.uy));
        float* o = out + static_cast<size_t>(k) * 3 * side * side + j * side + i;
        o[0] = c.r; o[side * side] = c.g; o[2 * side * side] = c.b;
      }
  }
  return 0;
}
extern "C" int drawer_counts(const void* scratch, int i, int* shapes, int* prims) {
  *shapes = static_cast<const Slot*>(scratch)[i].scene.shapes;
  *prims = static_cast<const Slot*>(scratch)[i].scene.prims;
  return 0;
}
#endif
