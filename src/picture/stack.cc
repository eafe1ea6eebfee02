#include "picture/stack.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstring>
#include <memory>
#include <optional>

#include <expat.h>
#include <fmt/format.h>

namespace armslength {
namespace {

constexpr std::size_t kDeepest = 64;
constexpr int kMostLayers = 10'000;

struct ParseState {
  XML_Parser parser = nullptr;
  StackDocument document;
  std::vector<StackNode*> open;  // groups around the current element
  bool in_image = false, in_root = false, saw_root = false;
  int layers = 0, depth = 0;
  std::string trouble;  // first thing refused

  void Refuse(std::string what) {
    if (trouble.empty()) trouble = std::move(what);
    XML_StopParser(parser, XML_FALSE);
  }
};

const char* Attribute(const XML_Char** attributes, const char* name) {
  for (; attributes[0]; attributes += 2)
    if (std::strcmp(attributes[0], name) == 0) return attributes[1];
  return nullptr;
}

std::optional<double> Number(const char* text) {
  double value = 0.0;
  const char* end = text + std::strlen(text);
  while (text < end && *text == ' ') ++text;
  if (text < end && *text == '+') ++text;
  const auto [stop, error] = std::from_chars(text, end, value);
  if (error != std::errc() || stop != end || !std::isfinite(value)) return std::nullopt;
  return value;
}

// Whole pixels within +-1 000 000.
bool ReadPixels(ParseState& state, const XML_Char** attributes, const char* name, int* value) {
  const char* text = Attribute(attributes, name);
  if (!text) return true;
  const auto number = Number(text);
  if (!number || std::abs(*number) > 1e6) {
    state.Refuse(fmt::format("{}=\"{:.40}\" is no pixel number", name, text));
    return false;
  }
  *value = static_cast<int>(std::lround(*number));
  return true;
}

bool ReadNode(ParseState& state, const XML_Char** attributes, StackNode& node) {
  if (const char* name = Attribute(attributes, "name")) node.name = name;
  if (const char* blend = Attribute(attributes, "composite-op")) node.blend = blend;
  if (const char* visibility = Attribute(attributes, "visibility")) node.visible = std::strcmp(visibility, "hidden") != 0;
  if (const char* isolation = Attribute(attributes, "isolation")) node.isolate = std::strcmp(isolation, "isolate") == 0;
  if (const char* opacity = Attribute(attributes, "opacity")) {
    const auto number = Number(opacity);
    if (!number) {
      state.Refuse(fmt::format("opacity=\"{:.40}\" is no number", opacity));
      return false;
    }
    node.opacity = std::clamp(*number, 0.0, 1.0);
    if (node.opacity != *number)
      state.document.notes.push_back(fmt::format("layer '{:.60}': opacity {} brought into 0 to 1", node.name, opacity));
  }
  return ReadPixels(state, attributes, "x", &node.x) && ReadPixels(state, attributes, "y", &node.y);
}

bool LeavesTheFile(std::string_view path) {
  if (path.empty() || path.front() == '/' || path.find('\\') != std::string_view::npos || path.find(':') != std::string_view::npos) return true;
  for (std::size_t at = 0; at <= path.size();) {
    const std::size_t end = std::min(path.find('/', at), path.size());
    if (path.substr(at, end - at) == "..") return true;
    at = end + 1;
  }
  return false;
}

void OnStart(void* user, const XML_Char* element, const XML_Char** attributes) {
  auto& state = *static_cast<ParseState*>(user);
  if (static_cast<std::size_t>(++state.depth) > kDeepest) return state.Refuse("groups are nested more than 64 deep");
  if (!state.in_image) {
    if (std::strcmp(element, "image") != 0) return state.Refuse("its root is not 'image'");
    state.in_image = true;
    if (!ReadPixels(state, attributes, "w", &state.document.width) || !ReadPixels(state, attributes, "h", &state.document.height)) return;
    if (state.document.width <= 0 || state.document.height <= 0) state.Refuse("the picture's width or height is missing or not above 0");
    return;
  }
  const bool group = std::strcmp(element, "stack") == 0;
  if (!group && std::strcmp(element, "layer") != 0) return;  // filters, text: not part of the baseline
  if (++state.layers > kMostLayers) return state.Refuse("it has more than 10 000 layers");
  StackNode node;
  node.group = group;
  if (!ReadNode(state, attributes, node)) return;
  if (group && state.open.empty()) {
    if (state.saw_root) return state.Refuse("it has more than one root stack");
    state.saw_root = true;
    state.document.root = std::move(node);
    state.open.push_back(&state.document.root);
    return;
  }
  if (state.open.empty()) return state.Refuse("a layer lies outside of the stack");
  if (!group) {
    const char* source = Attribute(attributes, "src");
    node.source = source ? source : "";
    if (LeavesTheFile(node.source)) return state.Refuse(fmt::format("layer '{:.60}' points outside of the file (src=\"{:.80}\")", node.name, node.source));
  }
  // Pointers to groups stay good: only the innermost open group's list grows, and its own
  // ancestors' lists do not while it is open.
  auto& siblings = state.open.back()->children;
  siblings.push_back(std::move(node));
  if (group) state.open.push_back(&siblings.back());
}

void OnEnd(void* user, const XML_Char* element) {
  auto& state = *static_cast<ParseState*>(user);
  --state.depth;
  if (std::strcmp(element, "stack") == 0 && !state.open.empty()) {
    std::reverse(state.open.back()->children.begin(), state.open.back()->children.end());
    state.open.pop_back();
  }
}

void OnDoctype(void* user, const XML_Char*, const XML_Char*, const XML_Char*, int) {
  static_cast<ParseState*>(user)->Refuse("it declares a document type, which OpenRaster has no use for");
}

void Collect(StackNode& node, std::vector<StackNode*>& layers) {
  for (auto& child : node.children) {
    if (child.group)
      Collect(child, layers);
    else
      layers.push_back(&child);
  }
}

}  // namespace

Result<StackDocument> ParseStack(std::string_view xml, const std::string& file) {
  const std::unique_ptr<std::remove_pointer_t<XML_Parser>, decltype(&XML_ParserFree)> parser(XML_ParserCreate(nullptr), XML_ParserFree);
  ParseState state;
  state.parser = parser.get();
  if (!parser || xml.size() > (std::size_t{64} << 20)) return BadInput(file, "stack.xml", "the list of layers is too long to read", "Save the picture again");
  XML_SetUserData(parser.get(), &state);
  XML_SetElementHandler(parser.get(), OnStart, OnEnd);
  XML_SetStartDoctypeDeclHandler(parser.get(), OnDoctype);
  const bool parsed = XML_Parse(parser.get(), xml.data(), static_cast<int>(xml.size()), 1) == XML_STATUS_OK;
  if (state.trouble.empty() && !parsed)
    state.trouble = fmt::format("line {}: {}", XML_GetCurrentLineNumber(parser.get()), XML_ErrorString(XML_GetErrorCode(parser.get())));
  if (state.trouble.empty() && !state.saw_root) state.trouble = "it has no stack";
  if (!state.trouble.empty())
    return BadInput(file, "stack.xml", fmt::format("the list of layers cannot be used: {}", state.trouble), "Save the picture again from the program that made it");
  return std::move(state.document);
}

std::vector<StackNode*> LayersOf(StackNode& root) {
  std::vector<StackNode*> layers;
  Collect(root, layers);
  return layers;
}

}  // namespace armslength
