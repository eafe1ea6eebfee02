#include <algorithm>
#include <cmath>

#include "synth/drawing.h"
#include "synth/random.h"

namespace armslength {
namespace {

Rgb FromHue(double hue, double saturation, double value) {
  const auto channel = [&](double n) {
    const double k = std::fmod(n + hue / 60.0, 6.0);
    return value - value * saturation * std::clamp(std::min(k, 4.0 - k), 0.0, 1.0);
  };
  return {channel(5), channel(3), channel(1)};
}

// A colour and its shadow: darker, a little bluer.
Material Cloth(double hue, double saturation, double value) {
  const Rgb light = FromHue(hue, saturation, value);
  return {light, Rgb{light.r * 0.66, light.g * 0.66, light.b * 0.78}};
}

}  // namespace

FigureDrawing RandomDrawing(const SynthFigureOptions& options) {
  const SynthFigure figure = MakeFigure(options);
  SynthRandom random(options.seed, 701);
  FigureDrawing d;
  d.width_px = figure.picture.width;
  d.height_px = figure.picture.height;
  d.lengths = figure.lengths;
  d.body = figure.body;
  d.camera = figure.camera;
  d.head_length = figure.length[static_cast<std::size_t>(BoneId::kHead)];
  const auto vary = [&](double& value, double by) { value += by * std::clamp(random.Normal(), -2.0, 2.0); };
  vary(d.head.eye_height, 0.015);
  vary(d.head.eye_half, 0.006);
  vary(d.head.eye_up, 0.008);
  vary(d.head.nose_height, 0.010);
  vary(d.head.mouth_height, 0.008);
  vary(d.head.half_width, 0.012);
  d.hair.style = static_cast<HairStyle>(random.Below(4));
  d.hair.seed = options.seed;
  d.hair.wind = Vec3(random.Uniform(-0.2, 0.2), random.Uniform(-0.02, 0.05), 0);
  Costume& c = d.costume;
  const double hue = random.Uniform(0, 360);
  c.tunic = Cloth(hue, random.Uniform(0.25, 0.7), random.Uniform(0.45, 0.85));
  c.trim = Cloth(hue + random.Uniform(120, 240), random.Uniform(0.3, 0.7), random.Uniform(0.7, 0.95));
  c.stripe = Cloth(hue + random.Uniform(90, 270), random.Uniform(0.4, 0.75), random.Uniform(0.5, 0.8));
  c.trousers = Cloth(random.Uniform(0, 360), random.Uniform(0.1, 0.4), random.Uniform(0.25, 0.6));
  c.hair = Cloth(random.Uniform(15, 45), random.Uniform(0.2, 0.7), random.Uniform(0.2, 0.85));
  c.iris = Cloth(random.Uniform(0, 360), 0.5, 0.55);
  const double skin = random.Uniform(0, 1);
  c.skin.light = Rgb::Hex(0xf8d9c0).Towards(Rgb::Hex(0x7a4a33), skin);
  c.skin.dark = Rgb::Hex(0xd9a08f).Towards(Rgb::Hex(0x4f2c2a), skin);
  const bool legs_hang = figure.pose != SynthPose::kSit && figure.pose != SynthPose::kForeshortened;
  c.skirt = legs_hang && random.Chance(0.5);
  for (HandPose& hand : d.hands)
    hand = {random.Uniform(8, 22), random.Uniform(2, 8), random.Uniform(-40, 40), false};
  d.seed = options.seed;
  SetCrown(d.body, d.head_length, d.head);
  return d;
}

}  // namespace armslength
