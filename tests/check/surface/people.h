#pragma once
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

// 200 people of the US Army survey 2012 (NATICK/TR-15/007): what was measured of each, by the survey's names.
namespace armslength::testing {

inline std::vector<std::map<std::string, double>> People() {
  std::ifstream file(std::string(AL_TEST_DATA) + "/body/ansur2_sample200.csv");
  std::vector<std::string> head;
  std::vector<std::map<std::string, double>> people;
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line[0] == '#') continue;
    std::vector<std::string> cells;
    std::istringstream in(line);
    for (std::string cell; std::getline(in, cell, ',');) cells.push_back(cell);
    if (head.empty()) {
      head = cells;
      continue;
    }
    std::map<std::string, double> person;
    for (std::size_t i = 1; i < cells.size(); ++i) person[head[i]] = std::stod(cells[i]);
    people.push_back(std::move(person));
  }
  return people;
}

}  // namespace armslength::testing
