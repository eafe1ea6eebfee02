#pragma once
// Inside src/picture only: the layer tree of an OpenRaster file.
#include <string>
#include <string_view>
#include <vector>

#include "picture/picture.h"

namespace armslength {

struct StackNode {
  bool group = false;
  std::string name;
  std::string source;    // layer: path inside the file
  int x = 0, y = 0;      // layer: px
  double opacity = 1.0;  // own, 0..1
  bool visible = true;   // own
  std::string blend = "svg:src-over";
  bool isolate = false;  // group: asked for by the file
  std::vector<StackNode> children;       // bottom first (the file has them top first)
  const ImageRgba8* image = nullptr;     // layer: filled in by the reader
};

struct StackDocument {
  int width = 0, height = 0;  // px
  StackNode root;             // a group
  std::vector<std::string> notes;
};

// stack.xml. Refused: document type declarations (entities), nesting beyond 64, more than 10 000
// layers, sizes and offsets that are no numbers, sources that leave the file ("..", "/", "\").
// Source: OpenRaster specification 0.0.6, "Layer Stack File".
[[nodiscard]] Result<StackDocument> ParseStack(std::string_view xml, const std::string& file);

// Layers of the tree in drawing order, bottom first.
[[nodiscard]] std::vector<StackNode*> LayersOf(StackNode& root);

}  // namespace armslength
