#pragma once
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "marks/figure.h"
#include "picture/picture.h"
#include "support/error.h"
#include "synth/drawing.h"

namespace armslength {

// One version of the demo picture. The character is invented: Pia Lindholm, who builds
// kites, letting one up from the quay on the morning of a harbour's wind festival.
struct DemoVersion {
  std::string name;   // "old", "repaired", "redraw"
  std::string title;  // for people
  ImageRgba8 image;
  std::vector<Layer> layers;  // background, flats, shade, line
  Marks marks;                // as an artist would place them: with a small error
  FigureMarks truth;          // where everything was drawn
  std::vector<FaultSite> sites;
  std::vector<std::string> known_faults;  // in words: what was put in, and how much
};

inline constexpr int kDemoWidth = 1800, kDemoHeight = 2600;

// "old" (many faults), "repaired" (most of them mended), "redraw" (a fresh, sound drawing).
// Deterministic. About a second each.
[[nodiscard]] std::vector<DemoVersion> MakeDemo();
[[nodiscard]] DemoVersion MakeDemoVersion(const std::string& name);
[[nodiscard]] FigureDrawing DemoDrawing(const std::string& version);

// NAME.png and NAME.marks.json of each version, redraw.ora with its layers, and
// about-the-demo.txt, the last file, with what was put in. Creates the folder. `written` hears the name of each
// version as soon as its files are there. Errors: kInput.
[[nodiscard]] Result<void> WriteDemo(const std::filesystem::path& folder,
                                     const std::function<void(const std::string&)>& written = {});

}  // namespace armslength
