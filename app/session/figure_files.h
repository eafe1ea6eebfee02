#pragma once
#include <map>
#include <optional>
#include <vector>

#include <QDateTime>
#include <QString>

#include "canon/canon.h"
#include "marks/figure.h"
#include "reading/head/head_profile.h"
#include "support/error.h"

namespace armslength::app {

// Something a figure can be judged against, as a list shows it.
struct FigureFile {
  QString title;
  QString value;  // canon: name or file as in marks files; character: absolute path
};

// Canon files beside the picture (*.canon.json), named relative to it as in marks files; those that
// cannot be read are left out.
[[nodiscard]] std::vector<FigureFile> CanonsBeside(const QString& folder);
// Character files beside the picture (*.character.json).
[[nodiscard]] std::vector<FigureFile> CharactersBeside(const QString& folder);
// What a list calls the character in `path`: its name; the file's when it cannot be read.
[[nodiscard]] QString CharacterTitle(const QString& path);

// Canons and characters of the open picture's figures, read once and again when their file changes:
// a drag asks for them with every move of the pen.
class FigureShelf {
 public:
  // What the figure declares; nothing: not declared, or not to be read.
  [[nodiscard]] std::optional<Canon> CanonOf(const FigureMarks& figure, const QString& folder);
  [[nodiscard]] std::optional<HeadProfile> Character(const QString& path);

 private:
  template <typename Thing>
  struct Kept {
    QDateTime changed;
    std::optional<Thing> thing;
  };
  std::map<QString, Kept<Canon>> canons_;
  std::map<QString, Kept<HeadProfile>> characters_;
};

}  // namespace armslength::app
