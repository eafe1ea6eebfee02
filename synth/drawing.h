#pragma once
#include <array>
#include <map>
#include <string>
#include <vector>

#include "marks/figure.h"
#include "picture/picture.h"
#include "synth/draw/head.h"
#include "synth/draw/sheet.h"
#include "synth/figure.h"
#include "synth/skeleton.h"

namespace armslength {

enum class DrawingStyle : std::uint8_t { kCel, kFlat, kSilhouette, kPainterly };

// Stripes or checks printed on the cloth of a part. Laid round the form, or pasted on the picture
// plane when the drawing's faults ask for it.
struct ClothPattern {
  double slant_deg = 0.0;  // of the stripes: from the ring direction, pasted flat: from the picture's x
  double spacing = 0.030;  // stature
  double phase = 0.0;      // parts of the spacing
  bool check = false;      // a second family at right angles
  Material colour{Rgb::Hex(0xc9473f), Rgb::Hex(0x8f2f45)};
};

// What the figure wears. Lengths follow the body; colours are free.
struct Costume {
  Material skin{Rgb::Hex(0xf6d3b8), Rgb::Hex(0xd99f8d)};
  Material hair{Rgb::Hex(0x8a4b32), Rgb::Hex(0x5b2d2a)};
  Material iris{Rgb::Hex(0x3f8a86), Rgb::Hex(0x24565f)};
  Material tunic{Rgb::Hex(0x2f6f8f), Rgb::Hex(0x204a70)};
  Material trim{Rgb::Hex(0xf0b93f), Rgb::Hex(0xbd7f35)};  // collar, cuffs, buttons
  Material sleeve{Rgb::Hex(0xf7efe0), Rgb::Hex(0xc5b4c4)};
  Material stripe{Rgb::Hex(0xc9473f), Rgb::Hex(0x8f2f45)};
  Material trousers{Rgb::Hex(0x4b4a63), Rgb::Hex(0x322f4c)};
  Material boot{Rgb::Hex(0x8d5a3b), Rgb::Hex(0x5d3531)};
  Material belt{Rgb::Hex(0x6b4030), Rgb::Hex(0x472a2c)};
  // Printed cloth by part: "sleeves" (instead of the stripes), "legs", "trunk", "skirt".
  std::map<std::string, ClothPattern> patterns;
  bool skirt = true;   // the tunic's skirt, to above the knee
  double girth = 1.0;  // all widths
};

struct HandPose {
  double curl_deg = 14.0;   // per finger joint
  double spread_deg = 4.0;  // between neighbouring fingers
  double roll_deg = 0.0;    // about the forearm; 0: the palm faces the thigh
  bool pinch = false;       // thumb and forefinger meet
};

// Faults of known size. Everything defaults to a sound drawing.
struct DrawingFaults {
  HeadFaults head;
  std::map<std::string, double> ring_bow;  // ring name (or "all") -> bulge: 1 true, 0 straight, -1 wrong way
  double button_shift = 0.0;               // off the centre front, parts of the chest width, + figure's left
  std::string stray;                       // one fastening off the others: "button_1" (top) to "button_7", "buckle"
  double stray_shift = 0.0;                // ... by so many parts of the chest's width, + figure's left
  bool flat_pattern = false;               // stripes pasted on instead of round the arm
  bool parallel_folds = false;             // evenly spaced instead of from points of tension
  bool block_shoes = false;                // bricks instead of wedges
  double shoe_shift = 0.0;                 // left shoe beside its leg, stature
  double boot_shift = 0.0;                 // left boot with its shaft beside its leg, to the figure's left, stature
  double hand_shift = 0.0;                 // left hand and cuff beside its sleeve, to the hand's own left, stature
  std::array<double, 2> leg_girth{1.0, 1.0}, arm_girth{1.0, 1.0};  // left, right: thickness of one limb
  std::vector<double> line_gaps_px;        // openings in outer contours, px
  int hairy_strokes = 0;                   // contours gone over again
  int stray_marks = 0;                     // short marks that belong to nothing
  double wobble_px = 0.0;                  // rms of a trembling line
  bool second_light = false;               // the arms are lit from the other side
  bool pillow_shading = false;             // darker towards every outline
};

// Where a fault was put, picture px.
struct FaultSite {
  std::string what;  // "gap", "hairy", "stray", "fold"
  Vec2 at = Vec2::Zero();
  Vec2 along = Vec2::UnitX();  // direction of the line there
  double size_px = 0.0;        // gap: its width; hairy, stray, fold: length of the stroke
};

enum class Backdrop : std::uint8_t { kPlain, kQuay };

struct FigureDrawing {
  int width_px = 1800, height_px = 2600;
  BodyLengths lengths;  // for widths; the joints already hold the drawn lengths
  Skeleton body;        // as seen: body space
  BodyCamera camera;
  HeadBuild head;
  double head_length = 0.0;  // stature; 0: chin to crown of the skeleton
  Hair hair;
  Costume costume;
  std::array<HandPose, 2> hands;
  std::array<int, 2> arm_in_front{-1, -1};  // of the trunk: 1 yes, 0 no, -1 judged by depth
  DrawingStyle style = DrawingStyle::kCel;
  DrawingFaults faults;
  Backdrop backdrop = Backdrop::kPlain;
  Vec3 to_light = Vec3(-0.55, -0.65, -0.52);  // body space
  double line_px = 0.0;                       // 0: by the figure's size
  unsigned seed = 1;
  std::string name = "figure";
};

struct DrawnFigure {
  ImageRgba8 image;
  std::vector<Layer> layers;  // background, flats, shade, line; cel style only
  FigureMarks truth;          // exact: body and head points, rings, centre front, areas
  std::vector<FaultSite> sites;
  Shape silhouette;            // what the figure covers, its contour line left out
  std::array<Shape, 2> hands;  // left, right, whether covered or not
  Shape garment;               // trunk, skirt and trousers
  HeadForm head;
};

// Draws the figure. Deterministic. Thread-safe.
[[nodiscard]] DrawnFigure DrawFigure(const FigureDrawing& drawing);

// A drawing of a random figure: MakeFigure's body and view, with a costume, hair and build
// of its own by seed. Its joints are options.faults and all; the crown lies where the drawn
// skull has it.
[[nodiscard]] FigureDrawing RandomDrawing(const SynthFigureOptions& options);

// The same drawing shifted sideways until the figure's colour stops `gap_px` short of the
// picture's edge (a tangent when small): left edge for side 0, right for side 1.
[[nodiscard]] FigureDrawing NearFrame(FigureDrawing drawing, int side, double gap_px);

// The same drawing with one arm swung in the picture plane until the hand's outline is `gap_px`
// away from trunk, skirt and trousers (a tangent when small), measured between colours.
[[nodiscard]] FigureDrawing HandNearHip(FigureDrawing drawing, int side, double gap_px);
// Smallest distance between a hand and the garment, px; 0 where they overlap.
[[nodiscard]] double HandToGarment(const DrawnFigure& drawn, int side);

// The skeleton with the crown where the drawn skull has it, so that both agree.
void SetCrown(Skeleton& body, double head_length, const HeadBuild& head);

}  // namespace armslength
