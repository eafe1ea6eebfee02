#include "support/strict_json.h"

#include <array>
#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace armslength {
namespace {

using ::testing::HasSubstr;

Error TroubleOf(std::string_view text, const StrictJsonLimits& limits = {}) {
  const auto document = JsonDocument::Parse(text, "f.json", limits);
  EXPECT_FALSE(document) << text.substr(0, 80);
  return document ? Error{} : document.error();
}

TEST(StrictJson, SyntaxErrorsSayLineAndColumn) {
  const Error error = TroubleOf("{\n  \"a\": 1,\n  \"b\" 2\n}");
  EXPECT_EQ(error.place, "line 3, column 7");
  EXPECT_THAT(error.cause, HasSubstr("this is not JSON here"));
  EXPECT_EQ(TroubleOf("{\"ä三\": x}").place, "line 1, column 8") << "columns count characters, not bytes";
  EXPECT_EQ(TroubleOf("[1, 2").place, "line 1, column 6") << "the end";
}

TEST(StrictJson, DoubledKeysAreFoundAtAnyDepth) {
  const Error error = TroubleOf(R"({"a": [0, {"b": {"c": 1, "d": 2, "c": 3}}]})");
  EXPECT_EQ(error.place, "/a/1/b/c");
  EXPECT_THAT(error.cause, HasSubstr("'c' is there twice"));
  EXPECT_TRUE(JsonDocument::Parse(R"([{"a": 1}, {"a": 1}])", "f"));
}

TEST(StrictJson, DepthSizeAndCountAreBounded) {
  EXPECT_THAT(TroubleOf(std::string(1'000'000, '[')).cause, HasSubstr("32 deep"));
  std::string objects;
  for (int i = 0; i < 100'000; ++i) objects += "{\"a\":";
  EXPECT_THAT(TroubleOf(objects).cause, HasSubstr("32 deep"));
  EXPECT_THAT(TroubleOf("[1,2,3]", {.max_bytes = 6}).cause, HasSubstr("7 bytes"));
  EXPECT_THAT(TroubleOf("[1,2,3]", {.max_values = 2}).cause, HasSubstr("more than 2 values"));
}

TEST(StrictJson, OnlyUtf8IsRead) {
  EXPECT_TRUE(JsonDocument::Parse("\xEF\xBB\xBF{\"a\": 1}", "f")) << "a byte order mark is fine";
  EXPECT_THAT(TroubleOf(std::string("\xFF\xFE{\0}\0", 6)).cause, HasSubstr("UTF-16"));
  EXPECT_THAT(TroubleOf(std::string("\xFE\xFF\0{\0}", 6)).cause, HasSubstr("UTF-16"));
  EXPECT_THAT(TroubleOf(std::string("{\0}\0", 4)).cause, HasSubstr("UTF-16"));
  const Error error = TroubleOf("{\n \"a\": \"\xC3(\"}");
  EXPECT_EQ(error.place, "line 2, column 8");
  EXPECT_THAT(error.cause, HasSubstr("not valid UTF-8"));
}

// The table of well-formed byte sequences: Unicode 15, table 3-7, and RFC 3629 section 4.
TEST(StrictJson, Utf8IsCheckedByTheStandardsTable) {
  for (const char* good : {"", "a", "\x7F", "\xC2\x80", "\xDF\xBF", "\xE0\xA0\x80", "\xED\x9F\xBF", "\xEE\x80\x80",
                           "\xF0\x90\x80\x80", "\xF4\x8F\xBF\xBF"})
    EXPECT_FALSE(FirstInvalidUtf8(good)) << good;
  for (const char* bad : {"\x80", "\xC0\x80", "\xC1\xBF", "\xE0\x9F\xBF", "\xED\xA0\x80", "\xF0\x8F\xBF\xBF",
                          "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xE2\x82", "\xFF"})
    EXPECT_EQ(FirstInvalidUtf8(std::string("ab") + bad), std::optional<std::size_t>(2)) << bad;
}

TEST(StrictJson, NumbersThatAreNotFiniteAreRefused) {
  EXPECT_THAT(TroubleOf("{\"a\": 1e999}").cause, HasSubstr("too large"));
  EXPECT_THAT(TroubleOf("{\"a\": NaN}").cause, HasSubstr("not JSON"));
  EXPECT_THAT(TroubleOf("{\"a\": Infinity}").cause, HasSubstr("not JSON"));
}

TEST(StrictJson, TheFirstTroubleIsKept) {
  const auto document = JsonDocument::Parse(R"({"n": "x", "list": [1, 2.5], "who": "bob", "b": 1})", "f.json");
  ASSERT_TRUE(document);
  const JsonPlace root = document->Root();
  EXPECT_EQ(root.At("list").Items()[0].Integer(0, 5), 1);
  EXPECT_FALSE(document->Trouble());
  EXPECT_EQ(root.At("list").Items()[1].Integer(0, 5), 0);
  ASSERT_TRUE(document->Trouble());
  EXPECT_EQ(document->Trouble()->place, "/list/1");
  (void)root.At("n").Number(0, 1);
  (void)root.At("missing").Text();
  EXPECT_EQ(document->Trouble()->place, "/list/1");
}

TEST(StrictJson, EveryGetterSaysWhatItFound) {
  const auto cause = [](std::string_view text, auto&& get) {
    const auto document = JsonDocument::Parse(text, "f.json");
    get(document->Root());
    return document->Trouble() ? document->Trouble()->place + ": " + document->Trouble()->cause : "";
  };
  using J = const JsonPlace&;
  static constexpr std::array<std::string_view, 2> kWords = {"toward", "away"};
  EXPECT_EQ(cause("{\"a\": null}", [](J j) { (void)j.At("a").Number(0, 1); }), "/a: a number is expected here, found null");
  EXPECT_EQ(cause("{\"a\": 3}", [](J j) { (void)j.At("a").Number(0, 1); }), "/a: 3 is outside 0 to 1");
  EXPECT_EQ(cause("{\"a\": [1]}", [](J j) { (void)j.At("a").Text(); }), "/a: text in quotes is expected here, found a list of 1");
  EXPECT_EQ(cause("{\"a\": \" \"}", [](J j) { (void)j.At("a").NonEmptyText(); }), "/a: the text is empty");
  EXPECT_EQ(cause("{\"a\": \"x\\u0007\"}", [](J j) { (void)j.At("a").Text(); }), "/a: the text holds the control character U+0007");
  EXPECT_EQ(cause("{\"a\": 1}", [](J j) { (void)j.At("a").Bool(); }), "/a: true or false is expected here, found the number 1");
  EXPECT_EQ(cause("{\"a\": 1}", [](J j) { (void)j.At("b").Bool(); }), "the top level: the field 'b' is missing");
  EXPECT_EQ(cause("[]", [](J j) { (void)j.At("b").Bool(); }), "the top level: an object { } is expected here, found a list of 0");
  EXPECT_EQ(cause("{\"a\": \"awya\"}", [](J j) { (void)j.At("a").OneOf(kWords, "depth word"); }), "/a: 'awya' is no depth word");
  EXPECT_EQ(cause("{\"a\": {}}", [](J j) { (void)j.At("a").Items(); }), "/a: a list [ ] is expected here, found an object");
  EXPECT_EQ(cause("{\"a\": [1]}", [](J j) { (void)j.At("a").Items(2, 3); }), "/a: the list has 1 entries, 2 to 3 are expected");
  EXPECT_EQ(cause("{\"towart\": 1}", [](J j) { (void)j.IsObjectOf(kWords); }), "/towart: there is no field 'towart' here");
}

// RFC 6901: ~ and / inside a key are written ~0 and ~1.
TEST(StrictJson, PointersAreEscaped) {
  const auto document = JsonDocument::Parse(R"({"a/b~c": "x"})", "f.json");
  (void)document->Root().At("a/b~c").Number(0, 1);
  EXPECT_EQ(document->Trouble()->place, "/a~1b~0c");
}

TEST(StrictJson, HostileNamesStayShortAndPrintable) {
  const std::string long_name(100'000, 'n');
  const Error twice = TroubleOf("{\"" + long_name + "\": 1, \"" + long_name + "\": 2}");
  EXPECT_LT(twice.Text().size(), 400u);
  const Error odd = TroubleOf("{\"a\\u001b[31m\": 1, \"a\\u001b[31m\": 2}");
  EXPECT_EQ(odd.Text().find('\x1b'), std::string::npos) << "no escape sequences reach the terminal";
}

TEST(StrictJson, TheFormatLineIsExplained) {
  const auto trouble = [](std::string_view text) {
    const auto document = JsonDocument::Parse(text, "f.json");
    CheckFormat(document->Root(), "armslength-canon", 2);
    return document->Trouble() ? document->Trouble()->place + ": " + document->Trouble()->cause : "";
  };
  EXPECT_EQ(trouble(R"({"format": "armslength-canon", "version": 1})"), "");
  EXPECT_EQ(trouble(R"({"format": "armslength-canon", "version": 2.0})"), "");
  EXPECT_THAT(trouble(R"({"format": "armslength-marks", "version": 1})"), HasSubstr("/format: this file's format is 'armslength-marks'"));
  EXPECT_THAT(trouble(R"({"format": "armslength-canon", "version": 3})"), HasSubstr("/version: the file has version 3, newer than"));
  EXPECT_THAT(trouble(R"({"format": "armslength-canon", "version": 0})"), HasSubstr("there is no version 0"));
  EXPECT_THAT(trouble(R"({"format": "armslength-canon", "version": 1.5})"), HasSubstr("there is no version 1.5"));
  EXPECT_THAT(trouble(R"({"format": "armslength-canon", "version": "1"})"), HasSubstr("not a number"));
  EXPECT_THAT(trouble(R"({"format": "armslength-canon"})"), HasSubstr("'version' is missing"));
  EXPECT_THAT(trouble(R"({"version": 1})"), HasSubstr("'format' is missing"));
}

TEST(StrictJson, WrittenNumbersReadBack) {
  EXPECT_EQ(JsonNumber(0.1), "0.1");
  EXPECT_EQ(JsonNumber(-0.0), "0");
  EXPECT_EQ(JsonNumber(3), "3");
  EXPECT_EQ(std::stod(JsonNumber(M_PI)), M_PI);
  EXPECT_EQ(JsonNumber(12.5000004, 6), "12.5");
  EXPECT_EQ(JsonNumber(-0.0000001, 6), "0");
  EXPECT_EQ(JsonNumber(1200, 6), "1200");
  EXPECT_EQ(JsonQuoted("a\"\n\xFF"), "\"a\\\"\\n\xEF\xBF\xBD\"");
}

}  // namespace
}  // namespace armslength
