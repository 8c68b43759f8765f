// SPDX-License-Identifier: Apache-2.0
// Two ways to the same answer. A rare word leads to its cases. When every word is common, the
// cases are walked from the last changed on and asked for the words: the first page is full soon.
// "exists" would leave the choice to the database, which takes every beginning of a word for rare.
#include <fmt/format.h>
#include <soci/soci.h>

#include "store/case_rows.h"
#include "store/search_words.h"

namespace tautmark {
namespace {

constexpr long long kRare = 3000;  // rows of the word table

// Behind every text that starts with a prefix, byte by byte: the last character there is.
std::string end_of_prefix(const std::string& prefix) { return prefix + "\xF4\x8F\xBF\xBF"; }

struct Term {
  std::string from, end;  // words from here on, before there
  long long rows = 0;     // at most kRare + 1
};

Term looked_up(soci::session& session, const SearchTerm& wanted) {
  Term term{wanted.text, wanted.whole ? wanted.text + '\x01' : end_of_prefix(wanted.text)};
  const long long most = kRare + 1;
  session << "select count(*) from (select 1 from word where word >= :a and word < :b limit :m) "
             "as found_rows",
      soci::into(term.rows), soci::use(term.from), soci::use(term.end), soci::use(most);
  return term;
}

struct SqlCondition {
  std::string sql;
  std::vector<std::string> texts;
  bool walks = true;  // no word leads to the cases
};

SqlCondition condition_of(const std::vector<Term>& terms) {
  SqlCondition condition;
  std::size_t rarest = 0;
  for (std::size_t i = 1; i < terms.size(); ++i)
    if (terms[i].rows < terms[rarest].rows) rarest = i;
  for (std::size_t i = 0; i < terms.size(); ++i) {
    condition.sql += i == 0 ? "where " : " and ";
    const bool leads = i == rarest && terms[i].rows <= kRare;
    if (leads) condition.walks = false;
    condition.sql += leads ? "id in (select w.case_id from word w where true"
                           : "(select 1 from word w where w.case_id = cases.id";
    condition.sql += fmt::format(" and w.word >= :a{0} and w.word < :b{0}", i);
    condition.sql += leads ? ")" : " limit 1) = 1";
    condition.texts.push_back(terms[i].from);
    condition.texts.push_back(terms[i].end);
  }
  return condition;
}

long long count_of(soci::session& session, const SqlCondition& condition) {
  long long count = 0;
  soci::statement statement(session);
  statement.exchange(soci::into(count));
  for (const std::string& text : condition.texts) statement.exchange(soci::use(text));
  statement.alloc();
  statement.prepare(
      fmt::format("select count(*) from (select 1 from cases {} limit {}) as found_rows",
                  condition.sql, kMostCounted + 1),
      soci::details::st_one_time_query);
  statement.define_and_bind();
  statement.execute(true);
  return count;
}

}  // namespace

Stored<SearchPage> CaseStore::search(std::string_view query, int limit, int offset) const {
  constexpr std::size_t kMostTerms = 12;
  SearchTerms wanted = search_terms(query);
  if (wanted.anything_typed && wanted.terms.empty()) return SearchPage{};
  if (wanted.terms.size() > kMostTerms) wanted.terms.resize(kMostTerms);
  if (limit < 0 || limit > kMostCounted || offset < 0)
    return store_error(StoreTrouble::refused,
                       fmt::format("a page has at most {} cases", kMostCounted));
  return database_->read_value<SearchPage>([&](soci::session& session) {
    SearchPage page;
    std::vector<Term> terms;
    for (const SearchTerm& word : wanted.terms) {
      terms.push_back(looked_up(session, word));
      if (terms.back().rows == 0) return page;
    }
    const SqlCondition condition = condition_of(terms);
    // The server would ask all cases and sort them, where the first of the index are enough.
    if (condition.walks && database_->kind() == DatabaseKind::server)
      session << "set local enable_sort = off";
    page.found = count_of(session, condition);
    if (page.found == 0) return page;
    each_case(*database_, session,
              fmt::format("{} order by changed desc, id desc limit {} offset {}", condition.sql,
                          limit, offset),
              condition.texts, [&](const CaseRow& row) { page.cases.push_back(row.summary); });
    return page;
  });
}

}  // namespace tautmark
