#pragma once
#include <cmath>
#include <cstdint>
#include <numbers>

namespace armslength {

// Random numbers that are the same on every platform: the standard fixes its engines
// but not its distributions. PCG-XSH-RR 64/32 (O'Neill 2014), Box-Muller for normals.
class SynthRandom {
 public:
  // Streams of one seed are independent of each other, so that one option of a
  // generator does not shift the draws of the next.
  explicit SynthRandom(std::uint64_t seed, std::uint64_t stream = 0) : step_((Mix(stream) << 1U) | 1U) {
    state_ = Mix(seed ^ (0x9E3779B97F4A7C15ULL * (stream + 1))) + step_;
    Bits();
    Bits();
  }

  // The published generator's own seeding, to check against its printed output.
  static SynthRandom FromState(std::uint64_t state, std::uint64_t sequence) {
    SynthRandom random(0);
    random.step_ = (sequence << 1U) | 1U;
    random.state_ = random.step_ + state;
    random.Bits();
    return random;
  }

  std::uint32_t Bits() {
    const std::uint64_t old = state_;
    state_ = old * 6364136223846793005ULL + step_;
    const auto shifted = static_cast<std::uint32_t>(((old >> 18U) ^ old) >> 27U);
    const auto turn = static_cast<std::uint32_t>(old >> 59U);
    return (shifted >> turn) | (shifted << ((32U - turn) & 31U));
  }
  // Even in [low, high).
  double Uniform(double low, double high) { return low + (high - low) * (Bits() * 0x1p-32); }
  double Normal() {
    if (have_spare_) {
      have_spare_ = false;
      return spare_;
    }
    const double radius = std::sqrt(-2.0 * std::log((Bits() + 1.0) * 0x1p-32));
    const double angle = 2.0 * std::numbers::pi * (Bits() * 0x1p-32);
    spare_ = radius * std::sin(angle);
    have_spare_ = true;
    return radius * std::cos(angle);
  }
  bool Chance(double probability) { return Uniform(0.0, 1.0) < probability; }
  double Sign() { return Chance(0.5) ? 1.0 : -1.0; }
  int Below(int count) { return static_cast<int>(Uniform(0.0, count)); }

 private:
  static std::uint64_t Mix(std::uint64_t x) {  // SplitMix64's finisher
    x += 0x9E3779B97F4A7C15ULL;
    x = (x ^ (x >> 30U)) * 0xBF58476D1CE4E5B9ULL;
    x = (x ^ (x >> 27U)) * 0x94D049BB133111EBULL;
    return x ^ (x >> 31U);
  }

  std::uint64_t state_ = 0, step_ = 1;
  double spare_ = 0.0;
  bool have_spare_ = false;
};

}  // namespace armslength
