#include "marks/marks_file.h"
#include "support/files.h"
#include "synth/demo.h"

namespace armslength {

Result<void> WriteDemo(const std::filesystem::path& folder, const std::function<void(const std::string&)>& written) {
  std::string about =
      "Pia Lindholm builds kites. This is her on the quay, on the morning of the harbour's wind festival: an "
      "invented\n"
      "character in three versions, drawn by armslength's own figure generator. Her canon is adult-7.5.\n";
  for (const char* name : {"old", "repaired", "redraw"}) {
    const DemoVersion version = MakeDemoVersion(name);
    const auto png = EncodePng(version.image, false);
    if (!png) return tl::unexpected(png.error());
    if (auto done = WriteFileAtomic(folder / (version.name + ".png"), *png); !done) return done;
    if (auto done = SaveMarks(version.marks, folder / (version.name + ".marks.json")); !done) return done;
    if (version.name == "redraw") {
      std::vector<OpenRasterLayer> layers;
      for (const Layer& layer : version.layers) layers.push_back({.name = layer.name, .image = &layer.image});
      const auto raster = EncodeOpenRaster(version.image.width, version.image.height, layers);
      if (!raster) return tl::unexpected(raster.error());
      if (auto done = WriteFileAtomic(folder / (version.name + ".ora"), *raster); !done) return done;
    }
    if (written) written(version.name);
    about += "\n" + version.name + ": " + version.title + "\n";
    if (version.known_faults.empty()) about += "  nothing was put in\n";
    for (const std::string& fault : version.known_faults) about += "  - " + fault + "\n";
  }
  return WriteFileAtomic(folder / "about-the-demo.txt", about);
}

}  // namespace armslength
