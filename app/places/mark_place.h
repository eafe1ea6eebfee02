#pragma once
#include <optional>
#include <set>
#include <span>
#include <utility>
#include <vector>

#include "app/canvas/mark_layer.h"
#include "app/canvas/outline_layer.h"
#include "app/places/place.h"
#include "app/session/proposer.h"

class QAction;
class QComboBox;
class QLabel;
class QListWidget;
class QStackedWidget;
class QVBoxLayout;

namespace armslength::app {

class Commands;
class FigureChoices;

// Setting marks: body points, head points, rings, areas. The next point is asked for; after five of
// the body (six of the head) the solved figure proposes the rest.
class MarkPlace : public Place {
  Q_OBJECT
 public:
  MarkPlace(Document& document, Canvas& canvas, MarkLayer& marks, OutlineLayer& outlines, Commands& commands,
            QWidget* parent = nullptr);
  void Enter() override;
  void Leave() override;
  [[nodiscard]] QString Help() const override;
  void SetReading(std::shared_ptr<const LiveResult> result);

  enum class What : std::uint8_t { kBody, kHead, kRings, kAreas };
  void Show(What what);
  // Takes the figures of a marks file over as one undoable step, scaled when the picture's size
  // differs. Empty: done, else what is wrong.
  QString CopyMarksFrom(const QString& path);
  [[nodiscard]] FigureChoices& Choices() { return *choices_; }

 signals:
  // Something to tell in the window's status line.
  void Message(const QString& text);

 private:
  void AddCommands(Commands& commands);
  QWidget* MakePoints(Commands& commands);
  QWidget* MakeOutlines(Commands& commands);
  void MakeFigureRow(QVBoxLayout* column, Commands& commands);
  [[nodiscard]] std::span<const PointId> Order() const;
  void AskNext();
  [[nodiscard]] std::optional<PointId> NextOpen(std::ptrdiff_t from) const;  // unset and not skipped, round the order
  void Skip(int direction);
  void Accept();
  void AcceptAsked();
  void Clear();
  void Refresh();
  void RefreshPoints(const FigureMarks& figure);
  void RefreshOutlines(const FigureMarks& figure);
  void ToggleDepth(Depth depth);
  void GoToHead();
  void SetOutlineKind();
  void NextFigure();
  void PickMarksFile();
  void Propose();
  void TakeProposal(const Proposal& proposal);

  Document& document_;
  Canvas& canvas_;
  MarkLayer& layer_;
  OutlineLayer& outlines_;
  Proposer proposer_;
  std::shared_ptr<const LiveResult> result_;
  What what_ = What::kBody;
  QAction* what_actions_[4] = {};
  std::vector<std::pair<QAction*, Depth>> depth_actions_;
  QWidget* whole_ = nullptr;  // the button for whole rings
  QStackedWidget* pages_ = nullptr;
  QLabel *caption_ = nullptr, *asked_ = nullptr, *state_ = nullptr, *depth_label_ = nullptr;
  QLabel *outline_caption_ = nullptr, *outline_state_ = nullptr;
  QListWidget *list_ = nullptr, *outline_list_ = nullptr;
  QComboBox *figure_ = nullptr, *around_ = nullptr, *kind_ = nullptr;
  FigureChoices* choices_ = nullptr;
  std::set<std::pair<int, PointId>> skipped_;  // by figure: cannot be seen, not asked again by itself
  bool here_ = false, filling_ = false;
};

}  // namespace armslength::app
