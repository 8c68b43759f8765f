#!/bin/sh
# SPDX-License-Identifier: Apache-2.0
# postgres_for_tests.sh start|stop|kill|serve FOLDER [FSYNC [IDLE]]
#
# serve makes a new server in FOLDER/server and leaves a watchdog that ends and removes it when for
# IDLE seconds nobody holds a lock on FOLDER/users. A lock goes with its process however that ends,
# so no server outlives its tests. The caller of serve holds FOLDER/lock, and so does the watchdog
# while it takes the server away. FOLDER/watch is locked while there is a watchdog.
#
# PostgreSQL refuses to run as root; then it runs as the user that its package made.
set -eu
act=$1 folder=$2 fsync=${3:-off} idle=${4:-5}
bin=/usr/lib/postgresql/15/bin
data=$folder/server/data
cd "$folder"

as_owner() {
  if [ "$(id -u)" = 0 ]; then
    setpriv --reuid=postgres --regid=postgres --clear-groups "$@"
  else
    "$@"
  fi
}

start() {
  as_owner $bin/pg_ctl -D "$data" -w -t 60 -l "$folder/server/log" start -o "-k $folder/server \
    -c listen_addresses= -c fsync=$fsync -c max_connections=200 -c shared_buffers=32MB"
}

take_away() {
  if [ -e "$data" ]; then as_owner $bin/pg_ctl -D "$data" -m immediate -w stop || true; fi
  rm -rf "$folder/server"
}

# The server and its children at once, as when the machine falls over. A dead process may stand in
# the list for long (Z), where its number would look to the next server as if it still ran.
kill_all() {
  server=$(head -n 1 "$data/postmaster.pid")
  all="$server $(cat "/proc/$server/task/$server/children")"
  kill -9 $all || true
  for each in $all; do
    while grep -qs '^State:[[:space:]]*[^ZX]' "/proc/$each/status"; do sleep 0.01; done
  done
  rm -f "$data/postmaster.pid"
}

watch() {
  exec 9>"$folder/watch" 8>"$folder/lock" 7>"$folder/users"
  flock 9
  quiet=0
  while :; do
    sleep 1
    if flock -n 7; then quiet=$((quiet + 1)); else quiet=0; fi
    flock -u 7
    [ $quiet -ge "$idle" ] || continue
    flock 8
    if flock -n 7; then
      take_away 7>&- 8>&- 9>&-
      exit 0
    fi
    flock -u 8
    quiet=0
  done
}

case $act in
  start) start ;;
  stop) as_owner $bin/pg_ctl -D "$data" -m fast -w stop ;;
  kill) kill_all ;;
  serve)
    take_away
    mkdir server
    if [ "$(id -u)" = 0 ]; then chown postgres: server; fi
    as_owner $bin/initdb -D "$data" -U postgres --auth=trust --no-sync -E UTF8 --locale=C.UTF-8
    start
    setsid sh "$0" watch "$folder" "$fsync" "$idle" </dev/null >/dev/null 2>&1 &
    while flock -n "$folder/watch" true; do sleep 0.02; done
    ;;
  watch) watch ;;
esac
