using System.Collections.Immutable;
using NetAudit.Circuits;
using NetAudit.Common;
using NetAudit.Diagnosis;

namespace NetAudit.Jobs;

/// <summary>
/// What the shop's closed jobs teach: their confirmed causes count toward what is probable in other units of the model. Worked out anew
/// when a closed job changed. Thread-safe.
/// </summary>
public sealed class ShopLearning
{
    private const string Setting = "learning";
    private const string Off = "off";

    private readonly JobStore _store;
    private readonly Lock _turn = new();
    private readonly Dictionary<string, Amplifier?> _circuits = [];
    private (string Stamp, ImmutableArray<ConfirmedCause> Causes)? _known;

    internal ShopLearning(JobStore store) => _store = store;

    /// <summary>False when the shop does not want it.</summary>
    public bool IsOn => _store.Setting(Setting) != Off;

    /// <summary>Switches it on or off for all jobs.</summary>
    public Diagnostic? Turn(bool on) => _store.SetSetting(Setting, on ? "" : Off);

    /// <summary>Every confirmed cause of a closed job, newest job first.</summary>
    public ImmutableArray<ConfirmedCause> Causes()
    {
        lock (_turn)
        {
            var stamp = _store.ClosedStamp();
            if (_known is not { } known || known.Stamp != stamp)
            {
                _known = known = (stamp, [.. _store.ClosedCauses().Select(Resolved)]);
            }
            return known.Causes;
        }
    }

    /// <summary>What counts for a job: causes in other closed jobs of its model. Null when there are none or it is switched off.</summary>
    public ShopExperience? For(Job job)
    {
        ArgumentNullException.ThrowIfNull(job);
        return Of(job[JobField.Model], job.Number);
    }

    /// <summary>What counts for a model, whatever its case; null when nothing does.</summary>
    /// <param name="model">The model.</param>
    /// <param name="except">A job that is left out: no unit is evidence about itself.</param>
    public ShopExperience? Of(string model, long except = 0)
    {
        var name = Key(model);
        if (name.Length == 0 || !IsOn)
        {
            return null;
        }
        var counts = Causes()
            .Where(cause => cause.Job != except && Key(cause.Model) == name)
            .Select(cause => cause.Class)
            .OfType<PartClass>()
            .GroupBy(known => known)
            .ToImmutableSortedDictionary(group => group.Key, group => group.Count());
        return counts.IsEmpty ? null : new ShopExperience(model.Trim(), counts);
    }

    private static string Key(string model) => model.Trim().ToUpperInvariant();

    private ConfirmedCause Resolved((ConfirmedCause Cause, string? Circuit) closed)
    {
        if (closed.Circuit is not { } key)
        {
            return closed.Cause;
        }
        if (!_circuits.TryGetValue(key, out var amplifier))
        {
            _circuits[key] = amplifier = _store.Circuit(key)?.Read().Amplifier;
        }
        return closed.Cause with { Class = amplifier?.FindPart(closed.Cause.Part.Trim())?.Class };
    }
}
