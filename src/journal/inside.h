#pragma once
#include <memory>

#include "journal/database.h"
#include "journal/journal.h"

namespace armslength {

struct Journal::Inside {
  std::filesystem::path path;
  int busy_timeout_ms = 5000;
  std::function<TimeMs()> now;
  JournalOpening opening;
  std::unique_ptr<SQLite::Database> db;

  [[nodiscard]] SQLite::Transaction Begin() const {
    return SQLite::Transaction(*db, SQLite::TransactionBehavior::IMMEDIATE);
  }
};

namespace journal {

[[nodiscard]] std::string_view Name(NoteKind kind);
[[nodiscard]] std::string_view Name(NoteLook look);
[[nodiscard]] std::string_view Name(Answer answer);
[[nodiscard]] NoteKind NoteKindFromName(std::string_view name);
[[nodiscard]] NoteLook NoteLookFromName(std::string_view name);
[[nodiscard]] Answer AnswerFromName(std::string_view name);

}  // namespace journal
}  // namespace armslength
