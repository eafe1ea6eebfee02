#pragma once
#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include <Eigen/Core>

#include "marks/names.h"

namespace armslength {

// Picture space everywhere here: pixels after the orientation tag is applied, x
// right, y down, (0,0) the outer corner of the first pixel.
using Vec2 = Eigen::Vector2d;

enum class Depth : std::uint8_t { kToward, kAway, kFlat };

struct NamedPoint {
  std::string name;
  Vec2 at = Vec2::Zero();
};

// A drawn curve that runs round a part: collar, cuff, belt, hem.
struct Ring {
  std::string name;
  std::string around;  // bone name, or "neck", "trunk"
  std::vector<Vec2> points;
};

// An outlined region.
struct Area {
  std::string name;
  std::string kind;  // pattern, folds, focus, shadow, light, part, hair, skin, figure, material
  std::string on;    // bone name or empty
  std::vector<Vec2> outline;
};

// One line of the artist's own list of features ("scar on the left brow"), ticked off on this version.
struct FeatureTick {
  std::string name;
  bool present = false;
  std::optional<Vec2> at;  // where on the picture, when marked
};

// What the artist placed for one drawn person.
struct FigureMarks {
  std::string name;
  std::string canon;  // name or file of a canon; empty: not declared
  std::map<PointId, Vec2> points;
  std::map<PointId, double> point_error_px;   // own spread of single marks, one sd; rare
  std::vector<PointId> proposed;              // placed by the program, not yet confirmed by the artist
  std::map<BoneId, Depth> depth;
  std::optional<double> marking_error_px;     // one sd per axis, the artist's own estimate
  std::vector<NamedPoint> centre_front;
  std::vector<Ring> rings;
  std::vector<Area> areas;
  // Finding ids (or dotted prefixes, e.g. "body.balance") the artist declares as meant.
  std::vector<std::string> meant;
  std::vector<FeatureTick> features;
  std::string note;

  [[nodiscard]] bool Has(PointId id) const { return points.contains(id); }
  [[nodiscard]] std::optional<Vec2> At(PointId id) const {
    const auto it = points.find(id);
    return it == points.end() ? std::nullopt : std::optional<Vec2>(it->second);
  }
};

struct MarkedPicture {
  std::string file;  // as named in the marks file, relative to it
  int width = 0, height = 0;  // px
};

struct Marks {
  MarkedPicture picture;
  std::vector<FigureMarks> figures;
};

}  // namespace armslength
