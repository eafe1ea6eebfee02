#pragma once
#include <map>
#include <memory>
#include <set>

#include <QTimer>

#include "app/canvas/canvas.h"
#include "app/critique/critique_runner.h"
#include "app/critique/finding_card.h"
#include "app/places/place.h"
#include "app/session/document.h"

class QComboBox;
class QLabel;

namespace armslength::app {

class Commands;
class NotesBesideView;
class Section;

// What the program has to say: three things first, by gain per minute, then the rest behind one step;
// the artist's answers to it; and the artist's notes beside it. Measuring starts when the place
// is entered and after changes of the marks; what is shown for older marks says so.
class CritiquePlace : public Place, public CanvasLayer {
  Q_OBJECT
 public:
  CritiquePlace(Document& document, Canvas& canvas, Commands& commands, QWidget* parent = nullptr);
  ~CritiquePlace() override;
  void Enter() override;
  void Leave() override;
  [[nodiscard]] QString Help() const override;

  // Answers of this artist on other pieces (Journal::Record).
  void SetRecord(ArtistRecord record);

  // What is shown now; empty before the first result.
  [[nodiscard]] const Arranged& Shown() const { return shown_; }
  [[nodiscard]] std::shared_ptr<const CritiqueResult> Result() const { return result_; }
  // The result belongs to the marks and the picture as they are.
  [[nodiscard]] bool Fresh() const;

  // Answers the current finding as one undoable step; the same answer again takes it back.
  void Answer(Given answer);
  [[nodiscard]] FindingCard* Current() const;
  [[nodiscard]] std::vector<FindingCard*> Cards() const { return cards_; }
  void Choose(const QString& answer_key);

  void Paint(QPainter& painter, const QTransform& widget_from_picture) override;

 signals:
  // A complete measurement of the present state, as shown.
  void Measured(const armslength::app::Arranged& arranged);

 private:
  void Ask();
  void DeclareStage();
  void ShowStage();
  void Took(std::shared_ptr<const CritiqueResult> result);
  void Rebuild();
  void RebuildNotes();
  void Fill(Section* section, const QString& title, const std::vector<const Finding*>& findings, bool may_answer);
  FindingCard* AddCard(const Finding& finding, int number, bool may_answer, Section* section);
  void SetCurrent(FindingCard* card, bool scroll);
  void Step(int by);
  void ShowOnPicture();
  void LinkNote(qint64 note, bool link);
  void SayState();
  [[nodiscard]] std::string Key() const;  // what a measurement depends on

  Document& document_;
  Canvas& canvas_;
  Commands& commands_;
  CritiqueRunner runner_;
  std::shared_ptr<const CritiqueResult> result_;
  std::string asked_key_, result_key_;
  ArtistRecord record_;
  Arranged shown_;
  QString current_key_;
  std::vector<FindingCard*> cards_;
  std::set<QString> unfolded_;

  QLabel* state_ = nullptr;
  QComboBox* kind_ = nullptr;
  QComboBox* stage_ = nullptr;     // filter
  QComboBox* piece_at_ = nullptr;  // what the artist says of the piece
  QLabel* headline_ = nullptr;
  Section* first_ = nullptr;
  Section* notes_section_ = nullptr;
  NotesBesideView* notes_ = nullptr;
  std::map<int, Section*> sections_;
  QTimer ask_soon_, rebuild_soon_;
  bool here_ = false;
};

}  // namespace armslength::app
