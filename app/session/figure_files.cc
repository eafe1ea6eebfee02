#include "app/session/figure_files.h"

#include <QDir>
#include <QFileInfo>

#include "reading/head/character_file.h"
#include "words/say.h"

namespace armslength::app {
namespace {

constexpr int kMostListed = 60;  // a folder of hundreds is no list to choose from; the dialog is

QFileInfoList Beside(const QString& folder, const QString& pattern) {
  return QDir(folder).entryInfoList({pattern}, QDir::Files | QDir::Readable, QDir::Name).mid(0, kMostListed);
}

}  // namespace

std::vector<FigureFile> CanonsBeside(const QString& folder) {
  std::vector<FigureFile> found;
  for (const QFileInfo& file : Beside(folder, QStringLiteral("*.canon.json")))
    if (const auto canon = FindCanon(file.absoluteFilePath().toStdString()))
      found.push_back({QString::fromStdString(canon->title.empty() ? canon->name : SayLater(canon->title)), file.fileName()});
  return found;
}

std::vector<FigureFile> CharactersBeside(const QString& folder) {
  std::vector<FigureFile> found;
  for (const QFileInfo& file : Beside(folder, QStringLiteral("*.character.json")))
    if (const auto head = LoadCharacter(file.absoluteFilePath().toStdString()))
      found.push_back({QString::fromStdString(head->name), file.absoluteFilePath()});
  return found;
}

QString CharacterTitle(const QString& path) {
  const auto head = LoadCharacter(path.toStdString());
  return head ? QString::fromStdString(head->name) : QFileInfo(path).fileName();
}

std::optional<Canon> FigureShelf::CanonOf(const FigureMarks& figure, const QString& folder) {
  if (figure.canon.empty()) return {};
  const QString name = QString::fromStdString(figure.canon);
  const QFileInfo file(QDir(folder), name);
  Kept<Canon>& kept = canons_[folder + QLatin1Char('\n') + name];
  const QDateTime changed = file.exists() ? file.lastModified() : QDateTime::fromSecsSinceEpoch(0);
  if (kept.changed != changed) {
    auto found = FindCanon(figure.canon, folder.toStdString());
    kept = {changed, found ? std::optional(std::move(*found)) : std::nullopt};
  }
  return kept.thing;
}

std::optional<HeadProfile> FigureShelf::Character(const QString& path) {
  if (path.isEmpty()) return {};
  const QFileInfo file(path);
  if (!file.exists()) return {};
  Kept<HeadProfile>& kept = characters_[path];
  if (kept.changed != file.lastModified()) {
    auto loaded = LoadCharacter(path.toStdString());
    kept = {file.lastModified(), loaded ? std::optional(std::move(*loaded)) : std::nullopt};
  }
  return kept.thing;
}

}  // namespace armslength::app
