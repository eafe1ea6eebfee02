#pragma once
#include <QWidget>

#include "app/session/document.h"

class QComboBox;

namespace armslength::app {

// What the active figure is judged against: proportions the artist declares and a head learned from
// their own drawings. Built in, beside the picture, or a file from anywhere.
class FigureChoices : public QWidget {
  Q_OBJECT
 public:
  FigureChoices(Document& document, QWidget* parent);
  void Refresh();  // shows the active figure's
  void Reread();   // the lists, from disk, with the next Refresh

  // As one undoable step: a canon's name or file; a character's file. Empty: nothing declared. Returns empty:
  // done, else what is wrong with the file.
  QString DeclareCanon(const QString& name_or_file);
  QString ChooseCharacter(const QString& path);

 signals:
  void Message(const QString& text);

 private:
  void PickCanonFile();
  void PickCharacterFile();
  void FillLists(const QString& folder);

  Document& document_;
  QComboBox *canon_ = nullptr, *character_ = nullptr;
  QString listed_folder_;
};

}  // namespace armslength::app
