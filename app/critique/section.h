#pragma once
#include <QAbstractButton>
#include <QWidget>

class QVBoxLayout;

namespace armslength::app {

// A heading that folds what is below it.
class Section : public QWidget {
  Q_OBJECT
 public:
  Section(const QString& title, bool open, QWidget* parent = nullptr);
  void SetTitle(const QString& title, int count);
  [[nodiscard]] QVBoxLayout* Body() const { return body_layout_; }
  [[nodiscard]] QAbstractButton* Heading() const { return heading_; }
  void SetOpen(bool open);
  [[nodiscard]] bool IsOpen() const;
  // Removes all that is in the body.
  void Clear();

 private:
  QAbstractButton* heading_ = nullptr;
  QWidget* body_ = nullptr;
  QVBoxLayout* body_layout_ = nullptr;
};

}  // namespace armslength::app
