#pragma once
#include <functional>
#include <memory>
#include <vector>

#include <QAction>
#include <QKeySequence>
#include <QObject>
#include <QString>

namespace armslength::app {

// Everything a key can do, in one list: the window, its places, the help sheet and the key
// editor all read it. A command belongs to a group: "window" works everywhere, the others
// only while their place is in front, so that two places may use the same key.
class Commands : public QObject {
  Q_OBJECT
 public:
  explicit Commands(QWidget* window);

  // `id` is stable ("look.mirrored"): the keys file uses it. `key` is the left hand's default.
  QAction* Add(const QString& id, const QString& group, const QString& text, const QKeySequence& key,
               std::function<void()> run);
  QAction* AddToggle(const QString& id, const QString& group, const QString& text, const QKeySequence& key,
                     std::function<void(bool)> run);
  [[nodiscard]] QAction* Find(const QString& id) const;

  // Switches on the keys of `group` (and of "window"), and off those of the other groups.
  void EnterGroup(const QString& group);

  struct Entry {
    QAction* action;
    QString group;
    QKeySequence default_key;
  };
  [[nodiscard]] const std::vector<Entry>& All() const { return entries_; }
  // The command of the same group or of "window" that already has this key; null: free.
  [[nodiscard]] QAction* Holder(const QKeySequence& key, const QAction* but) const;

  // Keys file: {"format":"armslength-keys","version":1,"keys":{"look.mirrored":"Q"}}; holds only
  // keys that differ from the defaults. Empty text: all is well, else what is wrong.
  QString LoadKeys(const QString& path);
  QString SaveKeys(const QString& path) const;
  void ResetKeys();
  void SetKey(QAction* action, const QKeySequence& key);

 signals:
  void KeysChanged();

 private:
  QAction* Enter(QAction* action, const QString& id, const QString& group, const QKeySequence& key);

  QWidget* window_;
  std::vector<Entry> entries_;
  QString group_;
};

inline const QString kWindowGroup = QStringLiteral("window");

}  // namespace armslength::app
