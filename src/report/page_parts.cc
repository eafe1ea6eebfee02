#include "report/page_parts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <iterator>
#include <utility>

#include <fmt/format.h>

#include "report/callouts.h"
#include "report/overlay.h"
#include "report/shapes.h"
#include "report/words.h"
#include "support/text.h"
#include "words/say.h"

namespace armslength::page {
namespace {

using Role = GuideShape::Role;
using Form = GuideShape::Form;

// Folders are nobody's business on a page that may be passed on.
std::string FileName(const std::string& path) { return std::filesystem::path(path).filename().string(); }
// What is said of a picture's file, looked up when it is shown.
[[maybe_unused]] constexpr std::array kOfFiles = {Later("sRGB (assumed)"), Later("no colour profile: sRGB assumed")};
// A number and its sign stay on one line.
std::string E(std::string_view text) {
  std::string out = EscapeHtml(text);
  for (std::size_t at = out.find(" %"); at != std::string::npos; at = out.find(" %", at)) out.replace(at, 2, "\u00a0%");
  return out;
}
std::string Px(double v) { return fmt::format("{:.5g}", std::round(v * 10.0) / 10.0); }

bool Finite(const GuideShape& shape) {
  return !shape.points.empty() && std::all_of(shape.points.begin(), shape.points.end(), [](const Vec2& p) { return p.allFinite(); });
}

std::string PathData(const GuideShape& shape, double unit) {
  std::string d;
  const auto go = [&d](char command, const Vec2& p) { d += fmt::format("{}{} {}", command, Px(p.x()), Px(p.y())); };
  switch (shape.form) {
    case Form::kCross:
      for (const Vec2& p : shape.points) {
        go('M', p - Vec2(unit, 0));
        go('L', p + Vec2(unit, 0));
        go('M', p - Vec2(0, unit));
        go('L', p + Vec2(0, unit));
      }
      break;
    case Form::kEllipse: {
      if (shape.points.size() < 3) break;
      const Vec2 c = shape.points[0], a = shape.points[1] - c, b = shape.points[2] - c;
      constexpr int kSteps = 48;
      for (int i = 0; i < kSteps; ++i) {
        const double t = 2.0 * 3.14159265358979 * i / kSteps;
        go(i ? 'L' : 'M', c + std::cos(t) * a + std::sin(t) * b);
      }
      d += 'Z';
      break;
    }
    case Form::kPolyline:
    case Form::kPolygon:
      for (std::size_t i = 0; i < shape.points.size(); ++i) go(i ? 'L' : 'M', shape.points[i]);
      if (shape.form == Form::kPolygon) d += 'Z';
      if (shape.form == Form::kPolyline && shape.role == Role::kArrow && shape.points.size() >= 2) {
        const Vec2 tip = shape.points.back();
        const Vec2 way = tip - shape.points[shape.points.size() - 2];
        if (way.norm() > 1e-9) {
          const double reach = std::min(1.6 * unit, 0.6 * way.norm());
          const Vec2 along = way.normalized(), across(-along.y(), along.x());
          go('M', tip - reach * along + 0.55 * reach * across);
          go('L', tip);
          go('L', tip - reach * along - 0.55 * reach * across);
        }
      }
      break;
  }
  return d;
}

std::string_view ClassOf(Role role) {
  switch (role) {
    case Role::kDrawn: return "drawn d";
    case Role::kTarget: return "target t";
    case Role::kBand: return "band t";
    case Role::kArrow: return "arrow";
    case Role::kHelp: return "help";
  }
  return "help";
}

// ---- sentences ----

bool SeveralFigures(const Critique& c) { return c.figures.size() > 1; }

std::string Tags(const Critique& c, const Finding& f) {
  std::string text = E(KindText(f.kind)) + " · " + E(Say("from the {}", StageText(f.stage)));
  if (SeveralFigures(c) && !f.figure.empty()) text = "<bdi>" + E(f.figure) + "</bdi> · " + text;
  return text;
}

std::string RemedyBox(const Finding& f) {
  if (f.remedy.detail.empty() && f.remedy.minutes <= 0.0) return "";
  std::string head = WayText(f.remedy.way);
  const std::string minutes = MinutesText(f.remedy.minutes);
  if (!minutes.empty()) head += ", " + minutes;
  return "<div class=\"remedy\"><p class=\"way\">" + E(head) + "</p><p>" + E(Sentence(f.remedy.detail)) + "</p></div>\n";
}

std::string Facts(const Finding& f) {
  std::string rows;
  const auto row = [&rows](const std::string& term, const std::string& text) {
    if (!text.empty()) rows += "<dt>" + E(term) + "</dt><dd>" + E(text) + "</dd>";
  };
  std::string sure = CertaintyText(f);
  if (!sure.empty() && f.evidence && std::isfinite(*f.evidence) && !f.test.empty())
    sure += " (" + SayLater(f.test) + ": " + NumberText(*f.evidence) + ")";
  row(Say("How sure"), sure);
  if (!OnlyGrossShows(f)) row(Say("Could be seen from"), SmallestVisibleText(f));
  row(Say("Tolerance from"), f.source);
  return rows.empty() ? "" : "<dl class=\"facts\">" + rows + "</dl>\n";
}

// What goes when this is mended, so that nobody looks for a card of its own.
std::string AlsoMends(const Critique& c, const Finding& parent) {
  std::string names;
  for (const CoveredFinding& f : c.covered)
    if (f.parent == parent.id && f.finding.figure == parent.figure) names += (names.empty() ? "" : "; ") + ShortTitle(f.finding);
  return names.empty() ? "" : "<p class=\"note\">" + E(Sentence(Say("Mended along with this: {}", names))) + "</p>\n";
}

std::string Card(const Critique& c, std::size_t index, const std::string& crop) {
  const Finding& f = c.first[index];
  const int number = static_cast<int>(index) + 1;
  std::string out = fmt::format(
      "<article class=\"finding\" id=\"finding-{0}\" tabindex=\"-1\">\n"
      "<button type=\"button\" class=\"disc\" data-go=\"{0}\" aria-label=\"{2}\">{0}"
      "</button>\n<h3>{1}</h3>\n",
      number, E(ShortTitle(f)), E(Say("Show finding {} alone on the picture", number)));
  const std::string amount = AmountWithSpread(f);
  if (!amount.empty()) out += "<p class=\"amount\">" + E(amount) + "</p>\n";
  out += "<p class=\"tags\">" + Tags(c, f) + "</p>\n";
  if (!crop.empty())
    out += "<img class=\"crop\" alt=\"" + E(Say("The place on the picture: {}", ShortTitle(f))) + "\" src=\"" + crop + "\">\n";
  out += GaugeSvg(f);
  if (!f.why.empty()) out += "<p>" + E(f.why) + "</p>\n";
  out += AlsoMends(c, f);
  out += RemedyBox(f);
  out += Facts(f);
  return out + "</article>\n";
}

std::string Item(const Critique& c, const Finding& f, bool with_remedy) {
  std::string out = "<li><h4>" + E(TitleUnderOpen(f));
  // What works or is clear needs no number in its title, and what is open has none.
  const bool plain = f.verdict != Verdict::kOff || f.kind == Kind::kKeep;
  const std::string amount = plain ? "" : AmountWithSpread(f);
  if (!amount.empty()) out += " <span class=\"soft\">" + E(amount) + "</span>";
  out += "</h4>";
  if (SeveralFigures(c) && !f.figure.empty()) out += "<p class=\"note\"><bdi>" + E(f.figure) + "</bdi></p>";
  out += AlsoMends(c, f);
  if (!f.why.empty()) out += "<p>" + E(f.why) + "</p>";
  if (with_remedy && !f.remedy.detail.empty()) {
    const std::string minutes = MinutesText(f.remedy.minutes);
    out += "<p class=\"note\">" + E(Sentence(f.remedy.detail)) + (minutes.empty() ? "" : " " + E(Sentence(minutes))) + "</p>";
  }
  return out + "</li>\n";
}

std::string List(const Critique& c, const std::vector<Finding>& findings, bool with_remedy = false) {
  std::string out = "<ul class=\"plain\">\n";
  for (const Finding& f : findings) out += Item(c, f, with_remedy);
  return out + "</ul>\n";
}

std::string Details(const std::string& summary, const std::string& inside) {
  return "<details><summary>" + E(summary) + "</summary>\n" + inside + "</details>\n";
}

std::string FromWhere(const Finding& f) {
  const std::string seen = SmallestVisibleText(f);
  if (seen.empty()) return "";
  return OnlyGrossShows(f) ? Say("Here only what is grossly off would show.") : Say("As it is, it would show from {} on.", seen);
}

// What stays open for want of one mark, or of another view.
std::string OpenQuestions(const std::string& ask, const std::vector<const Finding*>& findings) {
  std::string out = "<div class=\"ask\"><p>" + E(ask.empty() ? Say("Open in this view") : Sentence(ask)) + "</p>\n";
  // One reason for all is said once.
  const std::string& why = findings.front()->why;
  const bool shared = findings.size() > 1 && std::ranges::all_of(findings, [&](const Finding* f) { return f->why == why; });
  if (shared && !why.empty()) out += "<p class=\"why\">" + E(why) + "</p>\n";
  out += shared ? "<ul class=\"plain close\">\n" : "<ul class=\"plain\">\n";
  for (const Finding* f : findings) {
    out += "<li><h4>" + E(TitleUnderOpen(*f)) + "</h4>";
    if (!shared && !f->why.empty()) out += "<p>" + E(f->why) + "</p>";
    if (const std::string from = FromWhere(*f); !from.empty()) out += "<p class=\"note\">" + E(from) + "</p>";
    out += "</li>\n";
  }
  return out + "</ul></div>\n";
}

// Who does what `more` asks has done what `less` asks: "mark the ankles again" in "mark the ankles again, and both heels".
bool AskedWithin(std::string_view less, std::string_view more) {
  if (less.ends_with('.')) less.remove_suffix(1);
  return !less.empty() && more.size() > less.size() + 1 && more.starts_with(less) && (more[less.size()] == ',' || more[less.size()] == '.');
}

// Why anything stays open: a body's lengths hide in the depth, the picture's own questions want to know what is meant.
std::string Reason(const Critique& c) {
  const bool lengths =
      std::ranges::any_of(c.cannot_tell, [](const Finding& f) { return f.kind == Kind::kConstruction || f.kind == Kind::kCanon; });
  return lengths ? Say("One view hides some lengths. Rather than guess, these stay open.") : Say("Rather than guess, this stays open.");
}

// One mark often settles several questions: asked once, with all it would answer. Blocks in the order of their worth.
std::vector<std::pair<std::string, std::size_t>> AskBlocks(const Critique& c, const std::vector<const Finding*>& open) {
  std::vector<std::pair<std::string, std::vector<const Finding*>>> asks;
  for (const Finding* f : open) {
    const std::string key = (SeveralFigures(c) && !f->figure.empty() && !f->ask.empty() ? f->figure + ": " : "") + f->ask;
    auto it = std::ranges::find_if(asks, [&key](const auto& a) { return a.first == key; });
    if (it == asks.end()) it = asks.insert(asks.end(), {key, {}});
    it->second.push_back(f);
  }
  for (std::size_t i = 0; i < asks.size();) {
    const auto wider = std::ranges::find_if(asks, [&](const auto& other) { return AskedWithin(asks[i].first, other.first); });
    if (wider == asks.end()) {
      ++i;
      continue;
    }
    // It stands where the first of the two stood: the more worth-while question comes first.
    const auto wide = static_cast<std::size_t>(wider - asks.begin()), front = std::min(i, wide), back = std::max(i, wide);
    asks[front].first = std::string(wider->first);
    asks[front].second.insert(asks[front].second.end(), asks[back].second.begin(), asks[back].second.end());
    asks.erase(asks.begin() + static_cast<std::ptrdiff_t>(back));
  }
  std::stable_partition(asks.begin(), asks.end(), [](const auto& a) { return !a.first.empty(); });
  std::vector<std::pair<std::string, std::size_t>> blocks;
  for (const auto& [ask, findings] : asks) blocks.emplace_back(OpenQuestions(ask, findings), findings.size());
  return blocks;
}

// What is open on a figure whose marks nobody has confirmed waits for that, but for what may be a fault (it has a gain and names
// the marks it hangs on) and the canon.
bool WaitsForMarks(const Critique& c, const Finding& f) {
  if (f.figure.empty() || f.gain > 0.0 || f.id == "body.canon") return false;
  const auto figure = std::ranges::find_if(c.figures, [&](const FigureCritique& one) { return one.marks.name == f.figure; });
  return figure != c.figures.end() && !figure->marks.points.empty() && figure->marks.proposed.size() >= figure->marks.points.size();
}

std::string CannotTell(const Critique& c) {
  if (c.cannot_tell.empty()) return "";
  constexpr std::size_t kShown = 3;  // the rest on a click: what is open is not what is wrong
  std::string out =
      "<section><h2>" + E(Say("Not settled, and what would settle it")) + "</h2>\n<p class=\"soft\">" + E(Reason(c)) + "</p>\n";
  std::vector<const Finding*> now, waiting;
  for (const Finding& f : c.cannot_tell) (WaitsForMarks(c, f) ? waiting : now).push_back(&f);
  if (!waiting.empty())
    out += "<div class=\"ask\"><p>" + E(Say("First confirm the proposed marks, or move them.")) + "</p>\n<p class=\"why\">" +
           E(Say("They are surer then, and most of what is open on the figure is settled by that alone.")) + "</p></div>\n";
  std::string further;
  std::size_t shown = waiting.empty() ? 0 : 1, questions = 0;
  for (const auto& [block, count] : AskBlocks(c, now)) {
    (shown < kShown ? out : further) += block;
    if (shown++ >= kShown) questions += count;
  }
  for (const auto& [block, count] : AskBlocks(c, waiting)) {
    further += block;
    questions += count;
  }
  out += "</section>\n";
  if (questions > 0) out += Details(Say("Open besides ({})", questions), further);
  return out;
}

std::string ReadingFacts(const Critique& c, const std::vector<std::string>& notes) {
  std::string out = "<section><h2>" + E(Say("What this rests on")) + "</h2>\n";
  for (const FigureCritique& figure : c.figures) {
    if (!figure.body) continue;
    const BodyReading& r = *figure.body;
    out += "<h4><bdi>" + E(figure.marks.name) + "</bdi></h4>\n<dl class=\"facts\">";
    const auto row = [&out](const std::string& term, const std::string& text) {
      if (!text.empty()) out += "<dt>" + E(term) + "</dt><dd>" + E(text) + "</dd>";
    };
    if (!r.usable) {
      row(Say("Body"), r.why_not);
    } else {
      const Canon& canon = r.canon.canon;
      const std::string name = canon.title.empty() ? canon.name : SayLater(canon.title);
      std::string which = r.canon.declared ? Say("{}, as you declared", name) : Say("none declared, so fitted to this figure");
      if (!r.canon.declared && r.canon.heads > 0.0) which += Say(", about {:.1f} heads", r.canon.heads);
      row(Say("Canon"), which);
      row(Say("To change it"), r.canon.how_to_change);
      const double elevation = r.camera.elevation_rad * 57.29577951308232;
      row(Say("View"), SayLater(Name(r.view)) + (std::abs(elevation) < 3.0 ? Say(", at eye level")
                                                 : elevation > 0.0         ? Say(", from {:.0f}° above", elevation)
                                                                           : Say(", from {:.0f}° below", -elevation)));
      row(Say("Marks placed to"), Say("about {} px", NumberText(r.sigma_px)));
      if (r.misplaced)
        row(Say("Check this mark"), Say("{}: the others put it {:.0f} px away", SaidName(r.misplaced->point), r.misplaced->distance_px));
      for (const HelpfulMark& h : r.helpful) row(Say("Would help"), h.how);
    }
    out += "</dl>\n";
  }
  const PictureFacts& p = c.picture;
  out += "<h4>" + E(Say("Picture")) + "</h4>\n<dl class=\"facts\"><dt>" + E(Say("File")) + "</dt><dd><bdi>" + E(FileName(p.file)) +
         "</bdi></dd>";
  out += "<dt>" + E(Say("Size")) + "</dt><dd>" + E(Say("{} × {} px, {} bits", p.width, p.height, p.bit_depth)) + "</dd>";
  if (!p.profile.empty()) out += "<dt>" + E(Say("Colour")) + "</dt><dd>" + E(SayLater(p.profile)) + "</dd>";
  if (!c.marks_file.empty()) out += "<dt>" + E(Say("Marks")) + "</dt><dd><bdi>" + E(FileName(c.marks_file)) + "</bdi></dd>";
  if (c.gate)
    out += "<dt>" + E(Say("Asked")) + "</dt><dd>" + E(Say("what counts by the end of the stage: {}", StageText(*c.gate))) + "</dd>";
  out += "</dl>\n";
  for (const std::string& note : p.notes) out += "<p class=\"note\">" + E(Sentence(SayLater(note))) + "</p>\n";
  for (const std::string& note : notes) out += "<p class=\"note\">" + E(Sentence(note)) + "</p>\n";
  return out + "</section>\n";
}

// Where a finding's number of radius r stands: beside its place, inside the picture, and on no face while another side is free.
Vec2 BesidePlace(const Vec2& place, double r, double w, double h, const std::vector<BoxPx>& faces) {
  const auto at = [&](double x, double y) {
    return Vec2(std::clamp(place.x() + x * r, r, std::max(r, w - r)), std::clamp(place.y() + y * r, r, std::max(r, h - r)));
  };
  for (const double reach : {1.9, 2.8})
    for (const auto& [x, y] : {std::pair(1, -1), std::pair(-1, -1), std::pair(-1, 1), std::pair(1, 1)}) {
      const Vec2 there = at(reach * x, reach * y);
      const BoxPx disc{there.x() - r, there.y() - r, 2.0 * r, 2.0 * r};
      if ((there - place).norm() > 1.4 * r && std::ranges::none_of(faces, [&](const BoxPx& f) { return f.Overlap(disc) > 0.0; }))
        return there;
    }
  return at(1.9, -1.9);
}

}  // namespace

std::string OverlaySvg(const Critique& critique) {
  const double w = critique.picture.width, h = critique.picture.height;
  const double unit = 0.007 * std::max(w, 0.6 * h);  // arm of a cross
  std::string out = fmt::format("<svg viewBox=\"0 0 {} {}\" aria-hidden=\"true\">\n", critique.picture.width, critique.picture.height);
  std::string marks;
  for (const FigureCritique& figure : critique.figures)
    for (const auto& [id, at] : figure.marks.points)
      if (at.allFinite()) marks += PathData({Role::kHelp, Form::kCross, {at}, ""}, MarkArm(figure.marks, at, unit));
  if (!marks.empty()) out += "<path class=\"mark halo\" d=\"" + marks + "\"/><path class=\"mark\" d=\"" + marks + "\"/>\n";
  std::vector<Vec2> numbers;
  const std::vector<BoxPx> faces = FaceBoxes(critique);
  for (std::size_t i = 0; i < critique.first.size(); ++i) {
    const std::vector<GuideShape> shapes = ShapesOf(critique.first[i]);
    out += fmt::format("<g class=\"finding\" data-no=\"{}\">", i + 1);
    for (const Role role : {Role::kBand, Role::kHelp, Role::kTarget, Role::kDrawn, Role::kArrow})
      for (const GuideShape& shape : shapes) {
        if (shape.role != role || !Finite(shape)) continue;
        const std::string d = PathData(shape, 1.4 * unit);
        if (d.empty()) continue;
        if (role == Role::kTarget || role == Role::kArrow)
          out += fmt::format("<path class=\"halo{}\" d=\"{}\"/>", role == Role::kTarget ? " t" : "", d);
        out += fmt::format("<path class=\"{}\" d=\"{}\"/>", ClassOf(role), d);
      }
    if (const auto anchor = AnchorOf(critique.first[i])) {
      const double r = 0.022 * std::max(w, 0.6 * h);
      Vec2 stands = BesidePlace(*anchor, r, w, h, faces);
      // Two faults of one face: the later number stands beside the earlier one.
      for (const Vec2& other : numbers)
        if ((stands - other).norm() < 2.1 * r) stands.x() = other.x() + 2.2 * r <= w - r ? other.x() + 2.2 * r : other.x() - 2.2 * r;
      numbers.push_back(stands);
      out +=
          fmt::format("<g class=\"no\"><circle cx=\"{0}\" cy=\"{1}\" r=\"{2}\"/><text x=\"{0}\" y=\"{1}\" font-size=\"{3}\">{4}</text></g>",
                      Px(stands.x()), Px(stands.y()), Px(r), Px(1.3 * r), i + 1);
    }
    out += "</g>\n";
  }
  return out + "</svg>";
}

std::string GaugeSvg(const Finding& f) {
  if (!f.measured || !f.expected || CountsThings(f.unit)) return "";
  const double m = *f.measured, e = *f.expected;
  const double tol = f.tolerance.value_or(0.0), sd = f.sd.value_or(0.0);
  if (!(std::isfinite(m) && std::isfinite(e) && std::isfinite(tol) && std::isfinite(sd))) return "";
  double low = std::min(e - 1.5 * tol, m - 2.0 * sd), high = std::max(e + 1.5 * tol, m + 2.0 * sd);
  if (high - low < 1e-9) return "";
  const double margin = 0.08 * (high - low);
  low -= margin;
  high += margin;
  constexpr double kWidth = 360.0, kEdge = 12.0;
  const auto x = [&](double v) { return kEdge + (kWidth - 2 * kEdge) * (v - low) / (high - low); };
  const auto text = [&](double at, double y, const std::string& words, const char* style) {
    const double estimate = 3.6 * static_cast<double>(words.size());
    const double inside = std::clamp(at, std::min(estimate, kWidth / 2), std::max(kWidth - estimate, kWidth / 2));
    return fmt::format("<text class=\"{}\" x=\"{:.1f}\" y=\"{}\" text-anchor=\"middle\">{}</text>", style, inside, y, E(words));
  };
  const std::string measured = MeasureText(m, f.unit), expected = MeasureText(e, f.unit);
  std::string label = Say("Drawn {}, expected {}", measured, expected);
  if (tol > 0.0) label += Say(", close enough within ± {}", ToleranceText(tol, f.unit));
  std::string out = fmt::format("<svg class=\"gauge\" viewBox=\"0 0 {} 78\" role=\"img\" aria-label=\"{}\">", kWidth, E(label));
  out += fmt::format("<line class=\"axis\" x1=\"{}\" y1=\"40\" x2=\"{}\" y2=\"40\"/>", kEdge, kWidth - kEdge);
  if (tol > 0.0)
    out += fmt::format("<rect class=\"band\" x=\"{:.1f}\" y=\"26\" width=\"{:.1f}\" height=\"28\"/>", x(e - tol), x(e + tol) - x(e - tol));
  out += fmt::format("<line class=\"at\" x1=\"{0:.1f}\" y1=\"24\" x2=\"{0:.1f}\" y2=\"56\"/>", x(e));
  if (sd > 0.0) out += fmt::format("<line class=\"sd\" x1=\"{:.1f}\" y1=\"40\" x2=\"{:.1f}\" y2=\"40\"/>", x(m - sd), x(m + sd));
  out += fmt::format("<path class=\"dot\" d=\"M{0:.1f} 31l9 9l-9 9l-9-9z\"/>", x(m));
  out += text(x(m), 18, Say("drawn {}", measured), "");
  out += text(x(e), 72, Say("expected {}", expected), "soft");
  return out + "</svg>\n";
}

bool MarksAreProposed(const Critique& c) {
  return !c.figures.empty() && std::ranges::all_of(c.figures, [](const FigureCritique& figure) {
    return !figure.marks.points.empty() && figure.marks.proposed.size() >= figure.marks.points.size();
  });
}

std::string Headline(const Critique& c) {
  switch (c.first.size()) {
    case 0: return c.cannot_tell.empty() ? Say("Nothing is off by these measures") : Say("Nothing is off that could be measured");
    case 1: return Say("One thing to mend");
    case 2: return Say("Two things to mend");
    default: return c.rest.empty() ? Say("Three things to mend") : Say("Three things to mend first");
  }
}

std::string Subline(const Critique& c) {
  double minutes = 0.0;
  for (const Finding& f : c.first)
    if (std::isfinite(f.remedy.minutes)) minutes += std::max(0.0, f.remedy.minutes);
  std::string out;
  if (!c.first.empty() && minutes > 0.0) out += Say("Together {}. ", MinutesText(minutes));
  if (c.first.size() > 1) out += Say("The whole figure first, then most gain per minute. ");
  if (c.held_back > 0) out += SayCount(c.held_back, "{} of later stages is held back. ", "{} of later stages are held back. ", c.held_back);
  if (MarksAreProposed(c))
    out +=
        Say("The marks were proposed by the program. Look whether the crosses sit on the joints and set right those that do not: "
            "until you have, no construction is called off. ");
  if (c.marks_file.empty()) out += Say("No marks were given, so only the picture itself was asked, not its figures. ");
  return out.empty() ? "" : "<p class=\"soft\">" + E(out) + "</p>";
}

std::string Column(const Critique& c, const std::vector<std::string>& crops, const std::string& standing, const std::vector<Tile>& tiles,
                   const std::vector<std::string>& notes) {
  std::string out;
  if (!c.first.empty()) {
    out += "<section class=\"stick\" aria-label=\"" + E(Say("To mend first")) + "\">\n";
    for (std::size_t i = 0; i < c.first.size(); ++i) out += Card(c, i, i < crops.size() ? crops[i] : "");
    out += "</section>\n";
  }
  if (!c.rest.empty()) out += Details(Say("The rest ({})", c.rest.size()), List(c, c.rest, true));
  if (!c.covered.empty()) {
    std::string inside =
        "<p class=\"soft\">" + E(Say("Not listed above: they have their cause there, and mending that mends these too. Ask again after it.")) + "</p>\n";
    std::vector<Finding> covered;
    for (const CoveredFinding& f : c.covered) covered.push_back(f.finding);
    out += Details(Say("Mended along with the above ({})", c.covered.size()), inside + List(c, covered));
  }
  if (!c.keep.empty()) out += "<section><h2>" + E(Say("What works: keep it")) + "</h2>\n" + List(c, c.keep) + "</section>\n";
  out += CannotTell(c);
  if (!standing.empty())
    out += "<section><h2>" + E(Say("Straightened up")) + "</h2>\n<img class=\"plate\" alt=\"" +
           E(Say("The drawn body standing upright beside its canon")) + "\" src=\"" + standing + "\"></section>\n";
  if (!c.observations.empty())
    out += "<section><h2>" + E(Say("Taste: seen, not judged")) + "</h2>\n" + List(c, c.observations) + "</section>\n";
  if (!tiles.empty()) {
    out += "<section><h2>" + E(Say("With fresh eyes")) + "</h2>\n<p class=\"soft\">" +
           E(Say("Larger ones lie beside this page under the names below.")) + "</p>\n<ul class=\"tiles\">\n";
    for (const Tile& tile : tiles)
      out += "<li><img alt=\"" + E(tile.title) + "\" src=\"" + tile.image + "\"><p>" + E(tile.title) + "<br><span class=\"soft\">" +
             E(tile.file) + "</span></p></li>\n";
    out += "</ul></section>\n";
  }
  if (!c.meant.empty()) out += Details(Say("Meant by you ({})", c.meant.size()), List(c, c.meant));
  if (!c.clear.empty()) out += Details(Say("Asked and clear ({})", c.clear.size()), List(c, c.clear));
  return out + ReadingFacts(c, notes);
}

}  // namespace armslength::page
