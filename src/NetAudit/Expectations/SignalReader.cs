using System.Collections.Immutable;
using System.Numerics;
using NetAudit.Expectations.Scenes;
using NetAudit.Simulation;
using NetAudit.Simulation.SmallSignal;
using NetAudit.Simulation.Supplies;

namespace NetAudit.Expectations;

/// <summary>
/// Reads the levels and resistances of a scene from its workspace. Buffers are reused; nothing is allocated after construction.
/// </summary>
internal sealed class SignalReader
{
    private readonly SmallSignalWorkspace _circuit;
    private readonly int[] _columns;
    private readonly RippleReader _ripple;
    private readonly Ohmmeter _ohmmeter;
    private readonly LevelProbe[] _levels;
    private readonly NodePair[] _pairs;
    private readonly Excitation[] _excitations;
    private readonly double _frequency;
    private readonly int _firstLevel;
    private readonly int _firstPair;
    private readonly Complex[] _complex;
    private readonly Complex[] _slopes;
    private readonly Complex[] _references;
    private readonly double[] _bends;

    /// <param name="scene">The scene.</param>
    /// <param name="workspace">Its workspace.</param>
    /// <param name="rows">Its readings in order of kind.</param>
    /// <param name="layout">Columns of derivatives.</param>
    /// <param name="testVolts">Most volts of an ohmmeter across its probes.</param>
    public SignalReader(
        Scene scene,
        Workspace workspace,
        ImmutableArray<Row> rows,
        PredictorColumns layout,
        double testVolts
    )
    {
        _circuit = new(workspace);
        _ripple = new(_circuit);
        _ohmmeter = new(_circuit, testVolts);
        _columns = layout.All;
        _levels =
        [
            .. rows.Where(r => r.Kind == ReadingKind.Ac)
                .Select(r => new LevelProbe(r.Node, r.RefNode, r.MeterOhms, r.MeterFarads)),
        ];
        _pairs =
        [
            .. rows.Where(r => r.Kind == ReadingKind.Ohms)
                .Select(r => new NodePair(r.Node, r.RefNode)),
        ];
        _firstPair = rows.Length - _pairs.Length;
        _firstLevel = _firstPair - _levels.Length;
        _excitations = scene.Signal is { } signal ? [ExcitationOf(signal)] : [];
        _frequency = scene.Signal?.Frequency ?? 0;
        _complex = new Complex[_levels.Length];
        _slopes = new Complex[_levels.Length * _columns.Length];
        _references = new Complex[_levels.Length];
        _bends = new double[_pairs.Length];
    }

    /// <summary>
    /// Whether a reading of the scene is a level so near a null that its spread reaches across: then it is told with the sign that it
    /// has along the direction of its spread, which no meter shows.
    /// </summary>
    public bool IsSigned(int reading) =>
        reading >= _firstLevel
        && reading < _firstPair
        && _references[reading - _firstLevel] != Complex.Zero;

    /// <summary>
    /// d(ln ohms)/d(ln test current) of a reading of the scene as last differentiated: 0 for what is no resistance, or obeys Ohm's law.
    /// </summary>
    public double Bend(int reading) => reading < _firstPair ? 0 : _bends[reading - _firstPair];

    /// <summary>Fills the rows of levels and resistances.</summary>
    /// <param name="values">Volts RMS or ohms, one a reading of the scene; NaN where there is no answer.</param>
    /// <param name="raw">Derivatives, [readings x width]; empty when none are wanted.</param>
    /// <param name="width">Columns wanted.</param>
    /// <param name="sigmas">One sigma of every parameter column, 0 for what does not spread; counts with derivatives only.</param>
    public void Read(Span<double> values, Span<double> raw, int width, ReadOnlySpan<double> sigmas)
    {
        var levels = values[_firstLevel.._firstPair];
        ReadLevels(levels, From(raw, _firstLevel * width), width, sigmas);
        ReadResistances(values[_firstPair..], From(raw, _firstPair * width), width);
    }

    private void ReadLevels(
        Span<double> values,
        Span<double> raw,
        int width,
        ReadOnlySpan<double> sigmas
    )
    {
        if (_levels.Length == 0)
        {
            return;
        }
        if (_excitations.Length == 0 && _ripple.HasSupplies)
        {
            // Without a test signal what a meter shows is the mains' ripple.
            if (
                !_ripple.Read(
                    _levels,
                    _columns.AsSpan(0, raw.IsEmpty ? 0 : width),
                    values,
                    From(raw, 0, raw.IsEmpty ? 0 : values.Length * width)
                )
            )
            {
                values.Fill(double.NaN);
            }
            return;
        }
        if (_excitations.Length == 0)
        {
            values.Clear();
            From(raw, 0, values.Length * width).Clear();
            return;
        }
        var slopes = _slopes.AsSpan(0, raw.IsEmpty ? 0 : _levels.Length * width);
        var columns = _columns.AsSpan(0, raw.IsEmpty ? 0 : width);
        if (!_circuit.Levels(_frequency, _excitations, _levels, columns, _complex, slopes))
        {
            values.Fill(double.NaN);
            return;
        }
        for (var i = 0; i < values.Length; i++)
        {
            var level = _complex[i];
            var own = slopes[(columns.Length * i)..(columns.Length * (i + 1))];
            if (!raw.IsEmpty)
            {
                _references[i] = NullReference.Of(level, own, sigmas, _references[i]);
            }
            var reference = _references[i];
            values[i] = (reference * level).Real < 0 ? -level.Magnitude : level.Magnitude;
            // d|v| = Re(conj(v) dv) / |v|
            var toward =
                reference != Complex.Zero ? reference
                : values[i] > 0 ? Complex.Conjugate(level) / values[i]
                : Complex.Zero;
            for (var column = 0; column < own.Length; column++)
            {
                raw[i * width + column] = (toward * own[column]).Real;
            }
        }
    }

    private void ReadResistances(Span<double> values, Span<double> raw, int width)
    {
        if (_pairs.Length == 0)
        {
            return;
        }
        var columns = _columns.AsSpan(0, raw.IsEmpty ? 0 : width);
        if (!_ohmmeter.Read(_pairs, columns, values, From(raw, 0, values.Length * width), _bends))
        {
            values.Fill(double.NaN);
        }
    }

    private static Span<double> From(Span<double> raw, int start) =>
        raw.IsEmpty ? raw : raw[start..];

    private static Span<double> From(Span<double> raw, int start, int length) =>
        raw.IsEmpty ? raw : raw.Slice(start, length);

    private static Excitation ExcitationOf(TestSignal signal) =>
        signal.Source >= 0
            ? Excitation.OfSource(signal.Source, signal.Volts)
            : Excitation.Fed(
                signal.Node,
                0,
                signal.Volts,
                signal.SourceOhms,
                signal.BlockingFarads
            );
}
