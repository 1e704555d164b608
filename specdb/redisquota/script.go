package redisquota

import "github.com/redis/go-redis/v9"

// countScript makes a claim on the debt of KEYS[1], all in microseconds: the debt is at least ARGV[1], ARGV[2] is added to
// it, and then ARGV[3] unless it would grow over ARGV[4]: 1 and the debt then, or 0 and the debt as it is. Redis forgets
// a debt when it has run off. A moment that is no number, or further off than two windows, as after a change of the
// quota, is put right.
const countScript = `
local t = redis.call('TIME')
local now = t[1] * 1000000 + t[2]
local least, owed, span, window = tonumber(ARGV[1]), tonumber(ARGV[2]), tonumber(ARGV[3]), tonumber(ARGV[4])
local was = tonumber(redis.call('GET', KEYS[1]) or 0) or 0
local free = was
if not (free > now + least) then free = now + least end
free = math.min(free + owed, now + 2 * window)
local fits = free - now + span <= window
if fits then free = free + span end
local debt = free - now
if free ~= was and debt > 0 then
  redis.call('SET', KEYS[1], string.format('%.0f', free), 'PX', math.floor(debt / 1000) + 1)
end
return {fits and 1 or 0, debt}`

// beatScript notes that ARGV[1] is there, forgets who has not been heard of for ARGV[2] microseconds, and counts the rest.
const beatScript = `
local t = redis.call('TIME')
local now = t[1] * 1000000 + t[2]
redis.call('ZADD', KEYS[1], now, ARGV[1])
redis.call('ZREMRANGEBYSCORE', KEYS[1], '-inf', now - ARGV[2])
redis.call('PEXPIRE', KEYS[1], math.floor(ARGV[2] / 1000) * 2)
return redis.call('ZCARD', KEYS[1])`

// countSum is the name that Redis gives the script.
var countSum = redis.NewScript(countScript).Hash()
