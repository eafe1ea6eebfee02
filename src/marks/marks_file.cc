#include "marks/marks_file.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "support/files.h"
#include "support/strict_json.h"
#include "support/text.h"

namespace armslength {
namespace {

constexpr std::string_view kFormat = "armslength-marks";
constexpr int kVersion = 1;
constexpr std::size_t kMaxBytes = std::size_t{16} << 20;
constexpr int kMaxPictureSide_px = 200'000;
constexpr double kMaxError_px = 10'000.0;

constexpr std::array<std::string_view, 3> kDepthWords = {"toward", "away", "flat"};
constexpr std::array<std::string_view, 10> kAreaKinds = {"pattern", "folds", "focus", "shadow", "light",
                                                         "part",    "hair",  "skin",  "figure", "material"};

// Bones that something can lie on or run round: all but the two widths.
constexpr bool HasSurface(BoneId id) { return id != BoneId::kShoulderWidth && id != BoneId::kHipWidth; }

std::span<const std::string_view> SurfaceBoneNames() {
  static const auto names = [] {
    std::vector<std::string_view> list;
    for (int b = 0; b < kBoneCount; ++b)
      if (HasSurface(static_cast<BoneId>(b))) list.push_back(Name(static_cast<BoneId>(b)));
    return list;
  }();
  return names;
}

class MarksReader {
 public:
  explicit MarksReader(const JsonPlace& root) : root_(root) {}

  Marks Read() {
    Marks marks;
    // The format comes first: all else would be a misleading complaint about another kind of file.
    CheckFormat(root_, kFormat, kVersion);
    static constexpr std::array<std::string_view, 4> kFields = {"format", "version", "picture", "figures"};
    if (!root_.IsObjectOf(kFields)) return marks;
    marks.picture = ReadPicture(root_.At("picture"));
    picture_ = marks.picture;
    for (const JsonPlace& place : root_.At("figures").Items(1, 1000)) {
      FigureMarks figure = ReadFigure(place);
      for (const auto& other : marks.figures)
        if (other.name == figure.name)
          place.At("name").Trouble(fmt::format("two figures are called '{}'", figure.name),
                                   "Give each figure its own name");
      marks.figures.push_back(std::move(figure));
    }
    return marks;
  }

 private:
  static MarkedPicture ReadPicture(const JsonPlace& place) {
    static constexpr std::array<std::string_view, 3> kFields = {"file", "width", "height"};
    MarkedPicture picture;
    if (!place.IsObjectOf(kFields)) return picture;
    picture.file = place.At("file").NonEmptyText(4096);
    picture.width = place.At("width").Integer(1, kMaxPictureSide_px);
    picture.height = place.At("height").Integer(1, kMaxPictureSide_px);
    return picture;
  }

  Vec2 ReadPoint(const JsonPlace& place) const {
    if (!place.Value().is_array() || place.Value().size() != 2) {
      place.Trouble(place.Value().is_array()
                        ? fmt::format("a point has two numbers, this list has {}", place.Value().size())
                        : "a point [x, y] is expected here",
                    "Give [x, y] in picture pixels");
      return Vec2::Zero();
    }
    const auto items = place.Items(2, 2);
    Vec2 at;
    for (int axis = 0; axis < 2; ++axis) {
      const JsonPlace& item = items[static_cast<std::size_t>(axis)];
      at[axis] = item.Number(-1e12, 1e12);
      const double size = axis == 0 ? picture_.width : picture_.height;
      if (at[axis] < -size || at[axis] > 2.0 * size)
        item.Trouble(fmt::format("{} = {} is more than a whole picture outside the picture ({} x {} px)",
                                 axis == 0 ? "x" : "y", JsonNumber(at[axis]), picture_.width, picture_.height),
                     "Give picture pixels, with (0, 0) at the top left corner");
    }
    return at;
  }

  std::vector<Vec2> ReadPoints(const JsonPlace& place, std::string_view what) const {
    std::vector<Vec2> points;
    if (place.Value().is_array() && place.Value().size() < 3)
      place.Trouble(fmt::format("{} needs at least 3 points, this has {}", what, place.Value().size()), "Add points");
    for (const JsonPlace& item : place.Items(0, 200'000)) points.push_back(ReadPoint(item));
    return points;
  }

  static std::optional<PointId> ReadPointName(std::string_view name, const JsonPlace& place) {
    const auto id = PointFromName(name);
    if (!id) place.Trouble(fmt::format("there is no point '{}'", name.substr(0, 60)), SuggestName(name, PointNames()));
    return id;
  }

  static std::string ReadSurfaceBone(const JsonPlace& place) {
    return std::string(SurfaceBoneNames()[place.OneOf(SurfaceBoneNames(), "part of the body")]);
  }

  static Ring ReadRing(const JsonPlace& place, const MarksReader& self) {
    static constexpr std::array<std::string_view, 3> kFields = {"name", "around", "points"};
    Ring ring;
    if (!place.IsObjectOf(kFields)) return ring;
    ring.name = place.At("name").NonEmptyText();
    ring.around = ReadSurfaceBone(place.At("around"));
    ring.points = self.ReadPoints(place.At("points"), "a ring");
    return ring;
  }

  Area ReadArea(const JsonPlace& place) const {
    static constexpr std::array<std::string_view, 4> kFields = {"name", "kind", "on", "outline"};
    Area area;
    if (!place.IsObjectOf(kFields)) return area;
    area.name = place.At("name").NonEmptyText();
    area.kind = std::string(kAreaKinds[place.At("kind").OneOf(kAreaKinds, "kind of area")]);
    if (const auto on = place.Find("on"); on && !(on->Value().is_string() && on->Value().get_ref<const std::string&>().empty())) area.on = ReadSurfaceBone(*on);
    area.outline = ReadPoints(place.At("outline"), "an area");
    return area;
  }

  FeatureTick ReadFeature(const JsonPlace& place) const {
    static constexpr std::array<std::string_view, 3> kFields = {"name", "present", "at"};
    FeatureTick tick;
    if (!place.IsObjectOf(kFields)) return tick;
    tick.name = place.At("name").NonEmptyText();
    tick.present = place.At("present").Bool();
    if (const auto at = place.Find("at")) tick.at = ReadPoint(*at);
    return tick;
  }

  static double ReadError(const JsonPlace& place) {
    if (place.Value().is_number() && place.Value().get<double>() < 0.0)
      place.Trouble("a marking error cannot be negative", "Give its spread in pixels, for example 3");
    return place.Number(0.0, kMaxError_px);
  }

  FigureMarks ReadFigure(const JsonPlace& place) const {
    static constexpr std::array<std::string_view, 13> kFields = {
        "name",  "canon", "points", "depth",    "marking_error_px", "point_error_px", "centre_front",
        "rings", "areas", "meant",  "proposed", "features",         "note"};
    FigureMarks figure;
    if (!place.IsObjectOf(kFields)) return figure;
    figure.name = place.At("name").NonEmptyText();
    if (const auto canon = place.Find("canon")) figure.canon = canon->NonEmptyText(4096);
    for (const auto& [name, at] : place.At("points").Members())
      if (const auto id = ReadPointName(name, at)) figure.points[*id] = ReadPoint(at);
    if (const auto depth = place.Find("depth"))
      for (const auto& [name, word] : depth->Members()) ReadDepth(name, word, figure);
    if (const auto error = place.Find("marking_error_px")) figure.marking_error_px = ReadError(*error);
    if (const auto errors = place.Find("point_error_px"))
      for (const auto& [name, error] : errors->Members())
        if (const auto id = ReadPointName(name, error)) {
          RequireMarked(figure, *id, error);
          figure.point_error_px[*id] = ReadError(error);
        }
    if (const auto list = place.Find("proposed"))
      for (const JsonPlace& item : list->Items(0, kPointCount))
        if (const auto id = ReadPointName(item.Text(), item)) {
          RequireMarked(figure, *id, item);
          figure.proposed.push_back(*id);
        }
    if (const auto list = place.Find("centre_front"))
      for (const JsonPlace& item : list->Items()) figure.centre_front.push_back(ReadNamedPoint(item));
    if (const auto list = place.Find("rings"))
      for (const JsonPlace& item : list->Items()) figure.rings.push_back(ReadRing(item, *this));
    if (const auto list = place.Find("areas"))
      for (const JsonPlace& item : list->Items()) figure.areas.push_back(ReadArea(item));
    if (const auto list = place.Find("meant"))
      for (const JsonPlace& item : list->Items()) {
        figure.meant.push_back(item.NonEmptyText());
        if (figure.meant.back().find_first_of(" \t\n") != std::string::npos)
          item.Trouble("a finding's id has no spaces", "Give an id such as body.legs.length, or the start of one");
      }
    if (const auto list = place.Find("features"))
      for (const JsonPlace& item : list->Items()) figure.features.push_back(ReadFeature(item));
    if (const auto note = place.Find("note")) figure.note = note->Text(100'000);
    return figure;
  }

  NamedPoint ReadNamedPoint(const JsonPlace& place) const {
    static constexpr std::array<std::string_view, 2> kFields = {"name", "at"};
    NamedPoint point;
    if (!place.IsObjectOf(kFields)) return point;
    point.name = place.At("name").NonEmptyText();
    point.at = ReadPoint(place.At("at"));
    return point;
  }

  static void ReadDepth(const std::string& name, const JsonPlace& word, FigureMarks& figure) {
    const auto names = DepthBoneNames();
    if (std::find(names.begin(), names.end(), name) == names.end()) {
      word.Trouble(fmt::format("no depth can be given for '{}'", name.substr(0, 60)), SuggestName(name, names));
      return;
    }
    figure.depth[*BoneFromName(name)] = static_cast<Depth>(word.OneOf(kDepthWords, "depth word"));
  }

  static void RequireMarked(const FigureMarks& figure, PointId id, const JsonPlace& place) {
    if (!figure.Has(id))
      place.Trouble(fmt::format("'{}' is named here but not marked in 'points'", Name(id)),
                    "Mark it, or leave it out here");
  }

  const JsonPlace& root_;
  MarkedPicture picture_;
};

std::string PointText(const Vec2& p) {
  return fmt::format("[{}, {}]", JsonNumber(p.x(), 6), JsonNumber(p.y(), 6));
}

std::string PointListText(const std::vector<Vec2>& points, std::string_view indent) {
  std::string text = "[\n";
  for (std::size_t i = 0; i < points.size(); ++i)
    text += fmt::format("{}  {}{}\n", indent, PointText(points[i]), i + 1 < points.size() ? "," : "");
  return text + std::string(indent) + "]";
}

// Fields of one object, each on its own line, so that a diff shows what the artist moved.
class FieldList {
 public:
  explicit FieldList(std::string indent) : indent_(std::move(indent)) {}
  void Add(std::string_view key, const std::string& value) {
    text_ += fmt::format("{}{}  {}: {}", text_.empty() ? "" : ",\n", indent_, JsonQuoted(key), value);
  }
  [[nodiscard]] std::string Text() const { return text_.empty() ? "{}" : "{\n" + text_ + "\n" + indent_ + "}"; }

 private:
  std::string indent_, text_;
};

template <typename T, typename F>
std::string ListText(const std::vector<T>& list, std::string_view indent, F&& item) {
  std::string text = "[\n";
  for (std::size_t i = 0; i < list.size(); ++i)
    text += fmt::format("{}  {}{}\n", indent, item(list[i]), i + 1 < list.size() ? "," : "");
  return text + std::string(indent) + "]";
}

std::string FigureText(const FigureMarks& figure) {
  const std::string in = "      ";  // of a figure's fields
  const std::string deeper = in + "    ";
  FieldList fields("    ");
  fields.Add("name", JsonQuoted(figure.name));
  if (!figure.canon.empty()) fields.Add("canon", JsonQuoted(figure.canon));
  FieldList points(in);
  for (const auto& [id, at] : figure.points) points.Add(Name(id), PointText(at));
  fields.Add("points", points.Text());
  if (figure.marking_error_px) fields.Add("marking_error_px", JsonNumber(*figure.marking_error_px));
  if (!figure.point_error_px.empty()) {
    FieldList errors(in);
    for (const auto& [id, error] : figure.point_error_px) errors.Add(Name(id), JsonNumber(error));
    fields.Add("point_error_px", errors.Text());
  }
  if (!figure.proposed.empty())
    fields.Add("proposed", ListText(figure.proposed, in, [](PointId id) { return JsonQuoted(Name(id)); }));
  if (!figure.depth.empty()) {
    FieldList depth(in);
    for (const auto& [id, word] : figure.depth)
      depth.Add(Name(id), JsonQuoted(kDepthWords[static_cast<std::size_t>(word)]));
    fields.Add("depth", depth.Text());
  }
  if (!figure.centre_front.empty())
    fields.Add("centre_front", ListText(figure.centre_front, in, [](const NamedPoint& p) {
                 return fmt::format("{{\"name\": {}, \"at\": {}}}", JsonQuoted(p.name), PointText(p.at));
               }));
  if (!figure.rings.empty())
    fields.Add("rings", ListText(figure.rings, in, [&](const Ring& r) {
                 return fmt::format("{{\"name\": {}, \"around\": {}, \"points\": {}}}", JsonQuoted(r.name),
                                    JsonQuoted(r.around), PointListText(r.points, deeper));
               }));
  if (!figure.areas.empty())
    fields.Add("areas", ListText(figure.areas, in, [&](const Area& a) {
                 const std::string on = a.on.empty() ? "" : fmt::format("\"on\": {}, ", JsonQuoted(a.on));
                 return fmt::format("{{\"name\": {}, \"kind\": {}, {}\"outline\": {}}}", JsonQuoted(a.name),
                                    JsonQuoted(a.kind), on, PointListText(a.outline, deeper));
               }));
  if (!figure.meant.empty())
    fields.Add("meant", ListText(figure.meant, in, [](const std::string& id) { return JsonQuoted(id); }));
  if (!figure.features.empty())
    fields.Add("features", ListText(figure.features, in, [](const FeatureTick& f) {
                 const std::string at = f.at ? ", \"at\": " + PointText(*f.at) : "";
                 return fmt::format("{{\"name\": {}, \"present\": {}{}}}", JsonQuoted(f.name), f.present, at);
               }));
  if (!figure.note.empty()) fields.Add("note", JsonQuoted(figure.note));
  return fields.Text();
}

}  // namespace

Result<Marks> ParseMarks(std::string_view json_text, const std::string& file_name) {
  auto document = JsonDocument::Parse(json_text, file_name, {.max_bytes = kMaxBytes});
  if (!document) return tl::unexpected(std::move(document.error()));
  const JsonPlace root = document->Root();
  Marks marks = MarksReader(root).Read();
  if (document->Trouble()) return tl::unexpected(*document->Trouble());
  return marks;
}

Result<Marks> LoadMarks(const std::filesystem::path& path) {
  auto text = ReadFile(path, kMaxBytes);
  if (!text) return tl::unexpected(std::move(text.error()));
  return ParseMarks(*text, path.string());
}

std::string MarksToJson(const Marks& marks) {
  FieldList picture("  ");
  picture.Add("file", JsonQuoted(marks.picture.file));
  picture.Add("width", fmt::format("{}", marks.picture.width));
  picture.Add("height", fmt::format("{}", marks.picture.height));
  FieldList root("");
  root.Add("format", JsonQuoted(kFormat));
  root.Add("version", fmt::format("{}", kVersion));
  root.Add("picture", picture.Text());
  root.Add("figures", ListText(marks.figures, "  ", [](const FigureMarks& f) { return FigureText(f); }));
  return root.Text() + "\n";
}

Result<void> SaveMarks(const Marks& marks, const std::filesystem::path& path) {
  const std::string text = MarksToJson(marks);
  // What we write must be what we would take; a number such as NaN shows up here as bad syntax.
  if (auto again = ParseMarks(text, path.string()); !again) {
    again.error().cause = "these marks cannot be saved: " + again.error().cause;
    return tl::unexpected(std::move(again.error()));
  }
  return WriteFileAtomic(path, text);
}

}  // namespace armslength
