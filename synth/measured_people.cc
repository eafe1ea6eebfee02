#include "synth/measured_people.h"

#include <map>
#include <sstream>

#include "support/files.h"

namespace armslength {
namespace {

std::vector<std::string> Cells(const std::string& line) {
  std::vector<std::string> cells;
  std::istringstream in(line);
  for (std::string cell; std::getline(in, cell, ',');) cells.push_back(cell);
  return cells;
}

}  // namespace

Result<std::vector<std::array<double, kBoneCount>>> MeasuredPeople(const std::filesystem::path& csv) {
  auto text = ReadFile(csv);
  if (!text) return tl::unexpected(std::move(text.error()));
  std::istringstream in(*text);
  std::vector<std::string> head;
  using Lengths = std::array<double, kBoneCount>;
  std::vector<Lengths> people;
  std::vector<std::string> sex;
  for (std::string line; std::getline(in, line);) {
    if (line.empty() || line[0] == '#') continue;
    const std::vector<std::string> cells = Cells(line);
    if (head.empty()) {
      head = cells;
      continue;
    }
    std::map<std::string, double> mm;
    for (std::size_t i = 1; i < cells.size() && i < head.size(); ++i) mm[head[i]] = std::stod(cells[i]);
    for (const char* needed : {"stature", "trochanterionheight", "suprasternaleheight", "radialestylionlength"})
      if (!mm.contains(needed))
        return BadInput(csv.string(), {}, std::string("the column ") + needed + " is missing",
                        "Use the public ANSUR II file's column names");
    Lengths person{};
    const auto set = [&](BoneId id, double length) {
      person[static_cast<std::size_t>(id)] = person[static_cast<std::size_t>(Mirrored(id))] = length / mm["stature"];
    };
    set(BoneId::kHead, mm["mentonsellionlength"] + mm["tragiontopofhead"]);
    set(BoneId::kNeck, mm["cervicaleheight"] - mm["suprasternaleheight"]);
    set(BoneId::kTrunk, mm["suprasternaleheight"] - mm["trochanterionheight"]);
    set(BoneId::kShoulderWidth, mm["biacromialbreadth"]);
    set(BoneId::kHipWidth, mm["bicristalbreadth"]);
    set(BoneId::kUpperArmL, mm["acromionradialelength"]);
    set(BoneId::kForearmL, mm["radialestylionlength"]);
    set(BoneId::kHandL, mm["handlength"]);
    set(BoneId::kThighL, mm["trochanterionheight"] - mm["kneeheightmidpatella"]);
    set(BoneId::kShinL, mm["kneeheightmidpatella"] - mm["lateralmalleolusheight"]);
    set(BoneId::kFootL, mm["footlength"]);
    people.push_back(person);
    sex.push_back(cells[0]);
  }
  for (const char* group : {"male", "female"}) {
    Lengths mean{};
    double count = 0.0;
    for (std::size_t i = 0; i < people.size(); ++i) {
      if (sex[i] != group) continue;
      for (std::size_t b = 0; b < mean.size(); ++b) mean[b] += people[i][b];
      ++count;
    }
    for (std::size_t i = 0; i < people.size(); ++i) {
      if (sex[i] != group) continue;
      for (std::size_t b = 0; b < mean.size(); ++b) people[i][b] /= mean[b] / count;
    }
  }
  return people;
}

}  // namespace armslength
