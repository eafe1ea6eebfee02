#include "app/places/figure_choices.h"

#include <QComboBox>
#include <QFileDialog>
#include <QFileInfo>
#include <QVBoxLayout>

#include "app/canvas/mark_layer.h"
#include "app/session/figure_files.h"
#include "app/window/look_and_feel.h"
#include "canon/canon.h"
#include "reading/head/character_file.h"
#include "words/say.h"

namespace armslength::app {
namespace {

const QString kFromFile = QStringLiteral(":file");  // of a list's last entry; no file has such a name

}  // namespace

FigureChoices::FigureChoices(Document& document, QWidget* parent) : QWidget(parent), document_(document) {
  auto* column = new QVBoxLayout(this);
  column->setContentsMargins(0, 0, 0, 0);
  column->setSpacing(kGap);
  canon_ = new QComboBox(this);
  canon_->setAccessibleName(tr("Proportions you declare for this figure"));
  canon_->setToolTip(tr("The proportions you draw this figure by; without them, lengths are hardly judged"));
  character_ = new QComboBox(this);
  character_->setAccessibleName(tr("Character whose head this figure is judged against"));
  character_->setToolTip(tr("A head learned from your own drawings of this character; without one, the head's style is free"));
  for (QComboBox* box : {canon_, character_}) {
    box->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
    box->setMinimumHeight(34);
    column->addWidget(box);
  }
  connect(canon_, &QComboBox::activated, this, [this](int row) {
    if (canon_->itemData(row).toString() == kFromFile) return PickCanonFile();
    const QString trouble = DeclareCanon(canon_->itemData(row).toString());
    if (!trouble.isEmpty()) emit Message(trouble);
  });
  connect(character_, &QComboBox::activated, this, [this](int row) {
    if (character_->itemData(row).toString() == kFromFile) return PickCharacterFile();
    const QString trouble = ChooseCharacter(character_->itemData(row).toString());
    if (!trouble.isEmpty()) emit Message(trouble);
    Refresh();
  });
}

void FigureChoices::Reread() { listed_folder_ = QStringLiteral("?"); }

void FigureChoices::FillLists(const QString& folder) {
  listed_folder_ = folder;
  canon_->clear();
  canon_->addItem(tr("No proportions declared"), QString());
  for (const Canon& c : BuiltInCanons()) canon_->addItem(QString::fromStdString(SayLater(c.title)), QString::fromStdString(c.name));
  character_->clear();
  character_->addItem(tr("No character: free style"), QString());
  if (!folder.isEmpty()) {
    for (const FigureFile& f : CanonsBeside(folder)) canon_->addItem(f.title, f.value);
    for (const FigureFile& f : CharactersBeside(folder)) character_->addItem(f.title, f.value);
  }
  canon_->addItem(tr("From a canon file..."), kFromFile);
  character_->addItem(tr("From a character file..."), kFromFile);
}

void FigureChoices::Refresh() {
  const FigureMarks* figure = ActiveFigureOf(document_);
  const auto& characters = document_.Current().characters;
  const auto chosen = figure ? characters.find(figure->name) : characters.end();
  const QString canon = figure ? QString::fromStdString(figure->canon) : QString();
  const QString character = chosen == characters.end() ? QString() : QString::fromStdString(chosen->second);
  const QString folder = document_.Path().isEmpty() ? QString() : QFileInfo(document_.Path()).absolutePath();
  // The lists are read from disk with the picture, not with every mark.
  if (listed_folder_ != folder || canon_->count() == 0) FillLists(folder);
  // Files from elsewhere go before the lists' last entry.
  if (canon_->findData(canon) < 0) canon_->insertItem(canon_->count() - 1, QFileInfo(canon).fileName(), canon);
  if (character_->findData(character) < 0)
    character_->insertItem(character_->count() - 1, CharacterTitle(character), character);
  canon_->setCurrentIndex(canon_->findData(canon));
  character_->setCurrentIndex(character_->findData(character));
}

QString FigureChoices::DeclareCanon(const QString& name_or_file) {
  if (!name_or_file.isEmpty()) {
    const auto canon = FindCanon(name_or_file.toStdString(), QFileInfo(document_.Path()).absolutePath().toStdString());
    if (!canon) return QString::fromStdString(canon.error().Text());
  }
  EditActiveFigure(document_, tr("Declare proportions"), [&](FigureMarks& f) { f.canon = name_or_file.toStdString(); });
  return {};
}

QString FigureChoices::ChooseCharacter(const QString& path) {
  if (!path.isEmpty())
    if (const auto head = LoadCharacter(path.toStdString()); !head) return QString::fromStdString(head.error().Text());
  Work work = document_.Current();
  const FigureMarks* figure = ActiveFigureOf(document_);
  if (!figure) return tr("Set a first mark: a character belongs to a figure");
  if (path.isEmpty())
    work.characters.erase(figure->name);
  else
    work.characters[figure->name] = QFileInfo(path).absoluteFilePath().toStdString();
  document_.Change(tr("Choose the character"), std::move(work));
  return {};
}

void FigureChoices::PickCanonFile() {
  const QString path = QFileDialog::getOpenFileName(this, tr("Canon of this figure"), QFileInfo(document_.Path()).absolutePath(),
                                                    tr("Canons (*.canon.json *.json)"));
  const QString trouble = path.isEmpty() ? QString() : DeclareCanon(path);
  if (!trouble.isEmpty()) emit Message(trouble);
  Refresh();  // the list's "from a file" is no choice to stay at
}

void FigureChoices::PickCharacterFile() {
  const QString path = QFileDialog::getOpenFileName(this, tr("Character of this figure"), QFileInfo(document_.Path()).absolutePath(),
                                                    tr("Characters (*.character.json *.json)"));
  const QString trouble = path.isEmpty() ? QString() : ChooseCharacter(path);
  if (!trouble.isEmpty()) emit Message(trouble);
  Refresh();
}

}  // namespace armslength::app
