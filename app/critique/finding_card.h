#pragma once
#include <memory>

#include <QFrame>

#include "app/canvas/pyramid.h"
#include "app/critique/arrange.h"

class QAbstractButton;
class QLabel;
class QVBoxLayout;

namespace armslength::app {

// One finding. Folded: title, amount and certainty in a row. Unfolded: the place on the picture with
// what was measured, the numbers as a scale, why, how to mend it, and the three answers.
class FindingCard : public QFrame {
  Q_OBJECT
 public:
  struct Content {
    Finding finding;
    int number = 0;        // 1..3 for the first ones; 0: none
    Given given = Given::kNothing;
    bool may_answer = true;  // off findings; others have nothing to answer
    Widening widening;     // because of earlier "not so" answers
    QString parent;        // title of the finding whose mending mends this one
  };
  FindingCard(Content content, std::shared_ptr<const Pyramid> picture, bool unfolded, QWidget* parent = nullptr);

  [[nodiscard]] const Finding& TheFinding() const { return content_.finding; }
  [[nodiscard]] bool MayAnswer() const { return content_.may_answer; }
  void SetUnfolded(bool on);
  [[nodiscard]] bool Unfolded() const { return details_ && unfolded_; }
  // The card that the keys answer; its buttons name their keys.
  void SetCurrent(bool on);
  [[nodiscard]] bool IsCurrent() const { return current_; }
  [[nodiscard]] QAbstractButton* Button(Given answer) const;
  // Key names for the buttons, in the order agree, not so, meant.
  void SetKeys(const QStringList& keys);

 signals:
  void Chosen();                                   // pressed, or the focus came in
  void Answered(armslength::app::Given answer);    // kNothing: taken back

 protected:
  void paintEvent(QPaintEvent* event) override;
  void mousePressEvent(QMouseEvent* event) override;
  void focusInEvent(QFocusEvent* event) override;
  void keyPressEvent(QKeyEvent* event) override;

 private:
  void MakeDetails();
  void NameButtons();
  QLabel* Text(const QString& text, bool quiet);

  Content content_;
  std::shared_ptr<const Pyramid> picture_;
  QVBoxLayout* column_ = nullptr;
  QLabel* quiet_line_ = nullptr;
  QWidget* details_ = nullptr;
  QStringList keys_;
  QAbstractButton* buttons_[3] = {};
  bool unfolded_ = false, current_ = false;
};

}  // namespace armslength::app
