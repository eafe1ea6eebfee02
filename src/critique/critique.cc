#include "critique/critique.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <tuple>
#include <utility>

namespace armslength {
namespace {

using Bones = std::set<BoneId>;

void AddPair(Bones& bones, BoneId left) {
  bones.insert(left);
  bones.insert(Mirrored(left));
}

// Bones named by the middle part of "body.PART.length": one bone ("thigh_l"), a pair
// ("thighs", "thigh"), or a group ("legs", "leg_l"). Empty for anything else.
Bones PartBones(std::string_view part) {
  Bones bones;
  if (const auto one = BoneFromName(part)) return {*one};
  const auto side = [](std::string_view text) {
    if (text.ends_with("_l")) return 'l';
    return text.ends_with("_r") ? 'r' : ' ';
  };
  const char which = side(part);
  std::string stem(which == ' ' ? part : part.substr(0, part.size() - 2));
  if (which == ' ' && stem.size() > 1 && stem.back() == 's') stem.pop_back();
  if (stem == "leg") {
    AddPair(bones, BoneId::kThighL);
    AddPair(bones, BoneId::kShinL);
  } else if (stem == "arm") {
    AddPair(bones, BoneId::kUpperArmL);
    AddPair(bones, BoneId::kForearmL);
  } else if (stem == "torso") {
    bones = {BoneId::kTrunk, BoneId::kShoulderWidth, BoneId::kHipWidth};
  } else if (stem == "feet") {
    AddPair(bones, BoneId::kFootL);
  } else if (stem == "shoulder") {
    bones = {BoneId::kShoulderWidth};
  } else if (stem == "hip") {
    bones = {BoneId::kHipWidth};
  } else if (const auto left = BoneFromName(stem + "_l")) {
    AddPair(bones, *left);
  }
  if (which != ' ')
    std::erase_if(bones, [which](BoneId id) { return Side(id) != (which == 'l' ? 1 : -1); });
  return bones;
}

struct IdParts {
  std::string_view family, part, measure;
};

IdParts Split(std::string_view id) {
  const auto first = id.find('.');
  const auto last = id.rfind('.');
  if (first == std::string_view::npos || first == last) return {};
  return {id.substr(0, first), id.substr(first + 1, last - first - 1), id.substr(last + 1)};
}

// +1 too much, -1 too little, 0 not known.
int Direction(const Finding& f) {
  if (!f.measured || !f.expected || !(std::isfinite(*f.measured) && std::isfinite(*f.expected))) return 0;
  if (*f.measured == *f.expected) return 0;
  return *f.measured > *f.expected ? 1 : -1;
}

// A proportion of the whole figure: parts that are mended before it would have to be
// mended again with it.
bool WholeFigure(const Finding& f) {
  static constexpr std::string_view kWhole[] = {"body.legs.length", "body.torso.length", "body.head.size",
                                                "body.arms.length"};
  return std::find(std::begin(kWhole), std::end(kWhole), f.id) != std::end(kWhole);
}

int Tier(const Finding& f) { return f.kind == Kind::kCraft ? 1 : 0; }

}  // namespace

double Worth(const Finding& finding) {
  const double gain = std::isfinite(finding.gain) ? std::max(0.0, finding.gain) : 0.0;
  const double minutes = std::isfinite(finding.remedy.minutes) ? finding.remedy.minutes : 1.0;
  return gain / std::max(1.0, minutes);
}

bool Covers(const Finding& parent, const Finding& child) {
  if (parent.figure != child.figure || parent.id == child.id) return false;
  if (parent.id == "value.light" && child.id == "value.light.parts") return true;
  const IdParts p = Split(parent.id), c = Split(child.id);
  if (p.family.empty() || p.family != c.family) return false;
  // Unequal sides and odd segment ratios follow from a wrong length of one part of the limb.
  if (c.part == "pair" || c.measure == "segments") {
    const bool pair = c.part == "pair";
    const Bones limb = PartBones(pair ? c.measure : c.part), part = PartBones(p.part);
    if (p.part == "pair" || p.measure != "length" || part.empty() || part.size() >= limb.size()) return false;
    if (!std::includes(limb.begin(), limb.end(), part.begin(), part.end())) return false;
    const auto sided = [](BoneId a) { return [a](BoneId b) { return Side(a) == Side(b); }; };
    return !pair || std::all_of(part.begin(), part.end(), sided(*part.begin()));
  }
  if (p.measure != c.measure) return false;
  const Bones outer = PartBones(p.part), inner = PartBones(c.part);
  if (inner.empty() || outer.size() <= inner.size()) return false;
  if (!std::includes(outer.begin(), outer.end(), inner.begin(), inner.end())) return false;
  const int direction = Direction(parent);
  return direction != 0 && direction == Direction(child);
}

std::vector<const Finding*> Critique::All() const {
  std::vector<const Finding*> all;
  const auto add = [&all](const std::vector<Finding>& list) {
    for (const Finding& f : list) all.push_back(&f);
  };
  add(first);
  add(rest);
  for (const CoveredFinding& c : covered) all.push_back(&c.finding);
  add(cannot_tell);
  add(clear);
  add(keep);
  add(observations);
  add(meant);
  return all;
}

std::string_view Critique::ParentOf(const Finding& finding) const {
  for (const CoveredFinding& c : covered)
    if (&c.finding == &finding) return c.parent;
  return {};
}

Critique Rank(PictureFacts picture, std::vector<FigureCritique> figures, std::vector<Finding> findings,
              std::optional<Stage> gate) {
  Critique out;
  out.picture = std::move(picture);
  out.figures = std::move(figures);
  out.gate = gate;

  const auto figure_order = [&out](const Finding& f) {
    for (std::size_t i = 0; i < out.figures.size(); ++i)
      if (out.figures[i].marks.name == f.figure) return i;
    return out.figures.size();
  };
  std::vector<Finding> off;
  for (Finding& f : findings) {
    if (gate && f.stage > *gate) {
      ++out.held_back;
      continue;
    }
    const std::size_t figure = figure_order(f);
    if (figure < out.figures.size() && IsMeant(f.id, out.figures[figure].marks.meant)) f.meant = true;
    if (f.kind == Kind::kKeep) out.keep.push_back(std::move(f));
    else if (f.verdict == Verdict::kCannotTell) out.cannot_tell.push_back(std::move(f));
    else if (f.verdict == Verdict::kClear) out.clear.push_back(std::move(f));
    else if (f.meant) out.meant.push_back(std::move(f));
    else if (f.kind == Kind::kTaste) out.observations.push_back(std::move(f));
    else off.push_back(std::move(f));
  }

  const auto by_worth = [&figure_order](const Finding& a, const Finding& b) {
    if (Tier(a) != Tier(b)) return Tier(a) < Tier(b);
    const double wa = Worth(a), wb = Worth(b);
    if (wa != wb) return wa > wb;
    return std::tuple(a.kind, a.stage, figure_order(a), std::string_view(a.id)) <
           std::tuple(b.kind, b.stage, figure_order(b), std::string_view(b.id));
  };
  const auto by_gain = [&figure_order](const Finding& a, const Finding& b) {
    if (a.gain != b.gain) return a.gain > b.gain;
    return std::tuple(a.stage, figure_order(a), std::string_view(a.id)) <
           std::tuple(b.stage, figure_order(b), std::string_view(b.id));
  };
  const auto by_place = [&figure_order](const Finding& a, const Finding& b) {
    return std::tuple(figure_order(a), a.stage, std::string_view(a.id)) <
           std::tuple(figure_order(b), b.stage, std::string_view(b.id));
  };
  // A NaN gain would break the order's rules.
  for (Finding& f : out.cannot_tell)
    if (!std::isfinite(f.gain)) f.gain = 0.0;
  std::stable_sort(off.begin(), off.end(), by_worth);
  std::stable_sort(out.cannot_tell.begin(), out.cannot_tell.end(), by_gain);
  for (auto* list : {&out.clear, &out.keep, &out.observations, &out.meant})
    std::stable_sort(list->begin(), list->end(), by_place);

  // Children out first, so that they take no place among the first three. The widest
  // parent is named: legs, not the thigh pair, covers the left thigh.
  std::vector<int> parent(off.size(), -1);
  for (std::size_t i = 0; i < off.size(); ++i)
    for (std::size_t j = 0; j < off.size(); ++j)
      if (i != j && Covers(off[j], off[i]) &&
          (parent[i] < 0 || Covers(off[j], off[static_cast<std::size_t>(parent[i])])))
        parent[i] = static_cast<int>(j);
  std::vector<std::string> ids;
  ids.reserve(off.size());
  for (const Finding& f : off) ids.push_back(f.id);
  std::vector<Finding> own;
  for (std::size_t i = 0; i < off.size(); ++i) {
    if (parent[i] >= 0)
      out.covered.push_back({std::move(off[i]), ids[static_cast<std::size_t>(parent[i])]});
    else
      own.push_back(std::move(off[i]));
  }

  // The whole before its parts, the most worth-while one only; then by worth.
  if (const auto whole = std::find_if(own.begin(), own.end(), WholeFigure); whole != own.end())
    std::rotate(own.begin(), whole, whole + 1);

  std::set<std::pair<std::string, std::string>> shown;
  std::vector<char> taken(own.size(), 0);
  for (const bool repeat : {false, true})
    for (std::size_t i = 0; i < own.size(); ++i) {
      const auto chosen = std::count(taken.begin(), taken.end(), 1);
      if (chosen >= kFirstCount || taken[i]) continue;
      if (!shown.insert({own[i].id, own[i].figure}).second && !repeat) continue;
      taken[i] = 1;
    }
  for (std::size_t i = 0; i < own.size(); ++i) (taken[i] ? out.first : out.rest).push_back(std::move(own[i]));
  return out;
}

}  // namespace armslength
