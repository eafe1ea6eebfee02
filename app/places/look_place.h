#pragma once
#include <functional>
#include <optional>
#include <vector>

#include <QElapsedTimer>
#include <QTimer>


#include "app/canvas/canvas.h"
#include "app/places/look_views.h"
#include "app/places/place.h"
#include "app/session/document.h"

class QButtonGroup;
class QComboBox;
class QLabel;
class QListWidget;
class QPlainTextEdit;
class QVBoxLayout;

namespace armslength::app {

class Commands;

// Looking with a fresh eye, and writing down what is seen before the program says anything.
// Three looks: unaided, mirrored, and with a list of questions. Each note is wrong, like
// otherwise or keep; it may have a spot or a region, and once there is a critique, a finding.
class LookPlace : public Place, public CanvasLayer {
  Q_OBJECT
 public:
  LookPlace(Document& document, Canvas& canvas, Commands& commands, QWidget* parent = nullptr);
  void Enter() override;
  void Leave() override;
  [[nodiscard]] QString Help() const override;
  void Paint(QPainter& painter, const QTransform& widget_from_picture) override;
  bool Handle(const Pointer& pointer, const QPointF& at_picture_px, double zoom) override;

  [[nodiscard]] LookViews& Views() { return *views_; }
  // Adds the note in the text field (and its pin) as one undoable step.
  void AddNote();
  // What is still in the text field becomes a note: called before the picture or the window goes.
  void KeepDraft();
  // Findings a note may name, as (id, title); empty until the artist has seen the critique.
  void SetFindings(const std::vector<std::pair<QString, QString>>& findings);

 private:
  void AddCommands(Commands& commands);
  void MakeViews(QVBoxLayout* column, Commands& commands);
  void MakeWriting(QVBoxLayout* column, Commands& commands);
  void ToggleTimer();
  void StopTimer();
  void Tick();
  void SetLook(Note::Look look);
  void SetKind(Note::Kind kind);
  void SayPinned();
  void Refresh();
  void RemoveNote();
  void ToggleRewriting();
  void SetRewriting(std::optional<qint64> id);
  void EditNote(const std::function<void(Note&)>& edit, const QString& text, qint64 id);
  [[nodiscard]] const Note* Chosen() const;

  Document& document_;
  Canvas& canvas_;
  LookViews* views_;
  QPlainTextEdit* text_ = nullptr;
  QListWidget* list_ = nullptr;
  QWidget* on_chosen_ = nullptr;  // what can be done with the chosen note
  QWidget* rest_ = nullptr;
  QLabel *clock_ = nullptr, *questions_ = nullptr, *pinned_ = nullptr;
  QComboBox* finding_ = nullptr;
  QAction* kinds_[3] = {};
  QAction* looks_[3] = {};
  QAction *timed_ = nullptr, *rewrite_ = nullptr, *add_ = nullptr;
  Note::Kind kind_ = Note::Kind::kWrong;
  Note::Look look_ = Note::Look::kFirst;
  QTimer tick_;
  QElapsedTimer since_;
  std::optional<QRectF> pin_px_;
  std::optional<QPointF> press_px_;
  std::optional<qint64> rewriting_;  // the note whose words are in the text field
  bool here_ = false, filling_ = false;
};

}  // namespace armslength::app
