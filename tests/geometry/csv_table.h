#pragma once
#include <cstdlib>
#include <fstream>
#include <map>
#include <string>
#include <vector>

namespace armslength::testing {

// A table of tests/data: lines with '#' are its header, the first other line names the columns.
struct CsvRow {
  std::map<std::string, std::string> cells;
  [[nodiscard]] const std::string& Text(const std::string& column) const { return cells.at(column); }
  [[nodiscard]] double Number(const std::string& column) const { return std::stod(cells.at(column)); }
};

inline std::vector<std::string> SplitCsv(const std::string& line) {
  std::vector<std::string> fields(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"')
      quoted = !quoted;
    else if (c == ',' && !quoted)
      fields.emplace_back();
    else if (c != '\r')
      fields.back() += c;
  }
  return fields;
}

// Throws when the file is missing or a row has not as many fields as the header names.
inline std::vector<CsvRow> ReadCsv(const std::string& name) {
  std::ifstream in(std::string(AL_TEST_DATA) + "/" + name);
  if (!in) throw std::runtime_error("no test data " + name);
  std::vector<std::string> columns;
  std::vector<CsvRow> rows;
  for (std::string line; std::getline(in, line);) {
    if (line.empty() || line[0] == '#') continue;
    const auto fields = SplitCsv(line);
    if (columns.empty()) {
      columns = fields;
      continue;
    }
    if (fields.size() != columns.size()) throw std::runtime_error(name + ": wrong number of fields in " + line);
    CsvRow row;
    for (std::size_t i = 0; i < fields.size(); ++i) row.cells[columns[i]] = fields[i];
    rows.push_back(std::move(row));
  }
  return rows;
}

}  // namespace armslength::testing
