-- A neon strobe lamp: whether its flash shows the bars of a ring, whether the ring fits, whether it lights and stays lit in a
-- dark room, and what lies in the hand.
-- What a ring of bars shows under so many flashes a second: its count against the speed, and how often it stands still.
local function ring(found, jig, part, flash)
  local bars, rpm = jig.settings.bars, jig.settings.rpm
  if bars <= 0 or rpm <= 0 or flash <= 0 then return end
  local seen = jig:ring(bars, rpm, flash)
  local most, _, source = limit("ring-count")
  if math.abs(seen.off) > most then
    table.insert(found, notice{
      check = "ring-count",
      message = string.format("a ring of %d bars stands still at %.2f turns a minute under %.0f flashes a second, %.1f %% off the %.2f it is for",
        bars, seen.still, flash, 100 * seen.off, rpm),
      remedy = string.format("use a ring of %d bars, or say which ring it is in [plugin.strobe-lamp] of the jig file", seen.best),
      parts = { part.name }, condition = "mains nominal",
      quantity = "error of speed", value = math.abs(seen.off), limit = most, source = source,
    })
  elseif seen.whole >= 2 then
    table.insert(found, notice{
      check = "ring-ambiguous",
      message = string.format("the ring of %d bars moves on by %d bars between two flashes (%.0f a second), so it stands still at %.1f and %.1f turns a minute as well as at %.1f",
        bars, seen.whole, flash, rpm * (seen.whole - 1) / seen.whole, rpm * (seen.whole + 1) / seen.whole, rpm),
      remedy = string.format("light the ring on both half-waves of the mains, or use one of %d bars", seen.best),
      parts = { part.name }, condition = "mains nominal",
      quantity = "bars a flash", value = seen.advance,
    })
  end
end

-- How long the glow stays above half its brightest, degrees of a half-wave. The glow follows the current, a hump that ends
-- where the mains has sunk to the maintaining volts: sin(off) is maintain over crest.
local function bright(lamp)
  local on = lamp.on_deg[1]
  local off
  for _, deg in lamp.off_deg do
    if deg > on and (off == nil or deg < off) then off = deg end
  end
  if off == nil then off = (lamp.off_deg[1] or on + 180) + 360 end
  local start, stop = on % 180, off - math.floor(on / 180) * 180
  -- Behind anything but resistors the hump is not known: all of it counts.
  if stop <= 90 or stop > 180 then return off - on end
  local half = math.deg(math.asin((1 + math.sin(math.rad(stop))) / 2))
  return math.max(0, 180 - half - math.max(start, half))
end

local function width(found, jig, part, lamp)
  local seconds = bright(lamp) / 360 / jig.supply.frequency
  local bars, rpm = jig.settings.bars, jig.settings.rpm
  local pace = if bars > 0 then rpm * bars / 60 else lamp.flashes_per_second
  local pitches, most = seconds * pace, limit("flash-width")
  if pitches <= most then return end
  table.insert(found, notice{
    check = "flash-width",
    message = string.format("the bars move %.2f of their pitch while the lamp is bright (%s): they smear into the gaps", pitches, format(seconds, "s")),
    remedy = "use a lamp that goes out at higher volts, or a ring that moves one bar a flash",
    parts = { part.name }, condition = "mains nominal", quantity = "pitches a flash", value = pitches,
  })
end

local function strike(found, jig, part, lamp)
  local least = limit("dark-strike")
  if not jig.settings.dark or lamp.strike_margin == nil or lamp.strike_margin >= least then return end
  table.insert(found, notice{
    check = "dark-strike",
    message = string.format("on the lowest mains %s has %.2f times the volts that strike it; in the dark, where a strobe is used, it starts late or not at all", part.name, lamp.strike_margin),
    remedy = string.format("use a lamp that strikes at %s or less, or let a little light fall on it; [plugin.strobe-lamp] dark = false if it always stands in room light",
      format(math.sqrt(2) * jig.supply.low / least, "V")),
    parts = { part.name }, condition = "mains low, before the lamp strikes", quantity = "crest over strike volts", value = lamp.strike_margin,
  })
end

local function glow(found, jig, part)
  if part.current == nil then return end
  local flows = jig:solve{ supply = "low" }.parts[part.name].current_rms
  local share, least = flows / part.current, limit("steady-glow")
  if share >= least then return end
  table.insert(found, caution{
    check = "steady-glow",
    message = string.format("%s runs on %s, %.0f %% of its design current: the glow wanders and flickers, where a strobe must be steady, and slow flicker can bring on a seizure",
      part.name, format(flows, "A"), 100 * share),
    remedy = string.format("lower the dropping resistance to about %.0f %% of what it is", 100 * share),
    parts = { part.name }, condition = "mains low", quantity = "share of the design current", value = share,
  })
end

local function hand(found, jig)
  if jig.use ~= "hand-held" then return end
  local box = jig.enclosure
  if box.material == "insulating" and box.class ~= "I" then return end
  local what = if box.material == "insulating" then "a wand of class I" else "a wand with a tube of " .. (box.material or "unknown material")
  table.insert(found, caution{
    check = "hand-held-tube",
    message = what .. " lies in the hand and hangs on a cord that is bent all day: one broken core or crushed joint is all there is between the hand and the mains",
    remedy = "use a closed tube of insulating material, class II",
    condition = "as built",
  })
end

return {
  check = function(jig)
    local found = {}
    hand(found, jig)
    if #jig:parts("neon-lamp") == 0 then
      table.insert(found, notice{
        check = "other-lamp", message = "no neon-lamp is in the file, so nothing of its flash was judged",
        remedy = "write unit = \"led-strobe\" where the lamp is a part of kind \"led\", or add the lamp", condition = "as written",
      })
    end
    for _, part in jig:parts("neon-lamp") do
      local lamp = jig:lamp(part.name)
      if lamp then strike(found, jig, part, lamp) end
      if lamp and lamp.flashes_per_second > 0 and #lamp.on_deg > 0 then
        width(found, jig, part, lamp)
        ring(found, jig, part, lamp.flashes_per_second)
        glow(found, jig, part)
      end
    end
    return found
  end,
}
