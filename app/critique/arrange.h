#pragma once
#include <optional>
#include <string>
#include <vector>

#include "app/session/document.h"
#include "critique/artist_record.h"
#include "critique/critique.h"

namespace armslength::app {

// What was measured, before the artist has a say.
struct Measured {
  PictureFacts picture;
  std::vector<FigureCritique> figures;
  std::vector<Finding> findings;   // unranked
  std::vector<std::string> notes;  // what was left out and why
  std::vector<std::string> trouble;  // files that could not be used
  bool picture_checked = false;    // the picture's own checks are in `findings`
};

// What the artist wants to see of it. Nothing: all.
struct FindingFilter {
  std::optional<Kind> kind;
  std::optional<Stage> stage;
};

// The critique as it is shown: ranked, with the artist's answers taken in.
struct Arranged {
  Critique critique;
  std::vector<Finding> disagreed;  // off, but "not so" on this picture: out of the count
  std::vector<Softened> softened;  // only observations because of earlier "not so" answers
};

// Pure and quick (well under a millisecond): made anew with every answer. `meant` is taken from the
// work's marks as they are now; what a figure declares holds for findings of the whole picture too.
[[nodiscard]] Arranged Arrange(const Measured& measured, const Work& work, const ArtistRecord& record,
                               const FindingFilter& filter = {});

// An answer's key in Work::agreed and Work::not_so: the finding id, with "@FIGURE" when it is about
// one figure, so that two figures of a picture are answered apart.
[[nodiscard]] QString AnswerKey(const Finding& finding);
// The parts of a key: finding id, figure name or "".
[[nodiscard]] std::pair<QString, QString> AnswerParts(const QString& key);

enum class Given : std::uint8_t { kNothing, kAgree, kNotSo, kMeant };
[[nodiscard]] Given AnswerTo(const Finding& finding, const Work& work);
// The work with this answer instead of any other; kNothing takes an answer back.
[[nodiscard]] Work WithAnswer(Work work, const Finding& finding, Given answer);

}  // namespace armslength::app
