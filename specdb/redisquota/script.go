package redisquota

import "github.com/redis/go-redis/v9"

// takeScript adds ARGV[1] to the debt of KEYS[1] unless it would grow over ARGV[2], all in microseconds: 1 and the debt
// then, or 0 and the debt as it is. Redis forgets a debt when it has run off. A moment that is no number, or further off
// than the window, as after a change of the quota, is put right.
const takeScript = `
local t = redis.call('TIME')
local now = t[1] * 1000000 + t[2]
local span, window = tonumber(ARGV[1]), tonumber(ARGV[2])
local free = tonumber(redis.call('GET', KEYS[1]) or 0) or 0
if not (free > now) then free = now end
if free > now + window then free = now + window end
local debt = free - now
if debt + span > window then return {0, debt} end
debt = debt + span
redis.call('SET', KEYS[1], string.format('%.0f', now + debt), 'PX', math.floor(debt / 1000) + 1)
return {1, debt}`

// beatScript notes that ARGV[1] is there, forgets who has not been heard of for ARGV[2] microseconds, and counts the rest.
const beatScript = `
local t = redis.call('TIME')
local now = t[1] * 1000000 + t[2]
redis.call('ZADD', KEYS[1], now, ARGV[1])
redis.call('ZREMRANGEBYSCORE', KEYS[1], '-inf', now - ARGV[2])
redis.call('PEXPIRE', KEYS[1], math.floor(ARGV[2] / 1000) * 2)
return redis.call('ZCARD', KEYS[1])`

// takeSum is the name that Redis gives the script.
var takeSum = redis.NewScript(takeScript).Hash()
