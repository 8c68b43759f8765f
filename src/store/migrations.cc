// SPDX-License-Identifier: Apache-2.0
#include "store/migrations.h"

namespace tautmark {
namespace {

constexpr std::string_view kCases[] = {
    // name: what people call it, unique among the cases that are there. head_*: last record.
    "create table cases ("
    " id {identity},"
    " uid varchar(40) not null unique,"
    " name varchar(200) not null unique,"
    " title text not null,"
    " drive text not null,"
    " invented integer not null,"
    " created bigint not null,"
    " changed bigint not null,"
    " keep_until bigint not null,"  // 0: no date set
    " entries bigint not null,"
    " next_entry bigint not null,"  // no entry e<number> has this number or a higher one
    " indent bigint not null,"      // blanks before the dash of its entries; -1: no entry yet
    " head_seq bigint not null,"
    " head_hash varchar(64) not null)",
    "create index cases_changed on cases (changed, id)",
    // kind: head, entry, file, tail. body: text as it stands in the case file; for a file its
    // name, SHA-256 and size.
    "create table record ("
    " case_id bigint not null references cases (id),"
    " seq bigint not null,"
    " kind varchar(16) not null,"
    " entry_id varchar(100) not null,"
    " client_key varchar(80),"
    " at bigint not null,"
    " seat varchar(200) not null,"
    " body text not null,"
    " hash varchar(64) not null,"
    " primary key (case_id, seq),"
    " unique (case_id, client_key)) {clustered}",
    // The entry ids that are taken; a second entry with the id of one that is there is refused.
    "create table entry_id ("
    " case_id bigint not null references cases (id),"
    " id varchar(100) not null,"
    " primary key (case_id, id)) {clustered}",
    // Pieces come under a key of their own before their SHA-256 is known; one row here then makes
    // them a file, without touching them again.
    "create table blob ("
    " sha256 varchar(64) primary key,"
    " blob_key varchar(32) not null unique,"
    " bytes bigint not null,"
    " pieces bigint not null,"
    " stored bigint not null)",
    "create table blob_piece ("
    " blob_key varchar(32) not null,"
    " number bigint not null,"  // from 0; all but the last are full
    " data {bytes} not null,"
    " primary key (blob_key, number))",
    // Keys whose pieces are no file: still coming, left by one who went away, or removed.
    "create table upload ("
    " blob_key varchar(32) primary key,"
    " owner varchar(200) not null,"
    " touched bigint not null)",
    "create table case_file ("
    " case_id bigint not null references cases (id),"
    " name varchar(400) not null,"
    " sha256 varchar(64) not null references blob (sha256),"
    " bytes bigint not null,"
    " primary key (case_id, name)) {clustered}",
    "create index case_file_sha256 on case_file (sha256)",
    "create table word ("
    " word varchar(80) {bytewise} not null,"
    " case_id bigint not null references cases (id),"
    " primary key (word, case_id)) {clustered}",
    "create index word_case on word (case_id, word)",
};

constexpr std::string_view kAccounts[] = {
    // What was done to the store as a whole; a chain of its own, starting with number 1.
    "create table audit ("
    " number bigint primary key,"
    " at bigint not null,"
    " who varchar(200) not null,"
    " what varchar(40) not null,"
    " subject varchar(400) not null,"
    " detail text not null,"
    " hash varchar(64) not null)",
    // Its end; whoever adds a note locks this row first.
    "create table audit_end ("
    " id bigint primary key,"
    " number bigint not null,"
    " hash varchar(64) not null)",
    "insert into audit_end (id, number, hash) values (1, 0,"
    " '0000000000000000000000000000000000000000000000000000000000000000')",
    // folded: the name without regard to case, by which it is looked up.
    "create table account ("
    " id {identity},"
    " name varchar(100) not null,"
    " folded varchar(200) not null unique,"
    " role varchar(16) not null,"
    " password_hash varchar(200) not null,"  // empty: none, cannot log in with one
    " pin_hash varchar(200) not null,"       // empty: none set
    " disabled integer not null,"
    " created bigint not null)",
    // A paired tablet; its token lets it ask for a name and a PIN.
    "create table device ("
    " token_hash varchar(64) primary key,"
    " name varchar(100) not null,"
    " created bigint not null,"
    " last_seen bigint not null,"
    " revoked integer not null)",
    // Wrong PINs in a row of one name on one tablet (account_id 0: names that are not there).
    "create table pin_try ("
    " device_hash varchar(64) not null references device (token_hash),"
    " account_id bigint not null,"
    " wrong bigint not null,"
    " last bigint not null,"
    " primary key (device_hash, account_id)) {clustered}",
    "create table pairing ("
    " code_hash varchar(64) primary key,"
    " who varchar(200) not null,"
    " expires bigint not null)",
    "create table login_session ("
    " token_hash varchar(64) primary key,"
    " account_id bigint not null references account (id),"
    " device_hash varchar(64) not null,"  // empty: not from a paired device
    " created bigint not null,"
    " last_seen bigint not null,"
    " expires bigint not null)",
    "create index login_session_account on login_session (account_id)",
    "create table setting ("
    " name varchar(100) primary key,"
    " value text not null)",
};

constexpr Migration kMigrations[] = {
    {"cases", kCases},
    {"accounts", kAccounts},
};

}  // namespace

std::span<const Migration> migrations() { return kMigrations; }

}  // namespace tautmark
