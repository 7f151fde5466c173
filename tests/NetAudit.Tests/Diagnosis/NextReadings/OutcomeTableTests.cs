using NetAudit.Diagnosis;
using NetAudit.Diagnosis.NextReadings;
using NetAudit.Diagnosis.Search;
using NetAudit.Expectations;
using NetAudit.Tests.Diagnosis.Search;
using Xunit;

namespace NetAudit.Tests.Diagnosis.NextReadings;

/// <summary>What a suspect predicts for a reading that was not taken, against conditioning a joint normal distribution by hand.</summary>
public sealed class OutcomeTableTests
{
    private readonly SmallBench _bench = new();

    [Fact]
    public void Predict_HealthyUnit_IsItsMeanAndWhatTheReadingsTakenLeaveOpen()
    {
        AssertPredicted(["b"], [5.9], FaultSet.Healthy, []);
        AssertPredicted(["a", "b"], [6.1, 5.9], FaultSet.Healthy, []);
    }

    [Fact]
    public void Predict_FaultWithAFreeValue_LeavesItsRangeOpenButForWhatWasRead()
    {
        // b says nothing of R2; a says it.
        AssertPredicted(["b"], [6], _bench.Set("R2 drifted"), [15e3]);
        AssertPredicted(["a"], [7.2], _bench.Set("R2 drifted"), [15e3]);
        var two = _bench.Set("R2 drifted", "R5 drifted");
        AssertPredicted(["b"], [6], two, [15e3, 12e3]);
        var mixed = _bench.Set("R2 open", "R5 drifted");
        AssertPredicted(["b"], [6], mixed, Values(mixed, 12e3));
    }

    [Fact]
    public void Predict_ReadingTakenForASlip_TellsNothing()
    {
        var taken = Table(["a"], [60], out var predictor);
        var evaluation = Evaluation(FaultSet.Healthy, [], predictor) with { Slips = [0] };
        var (means, sigmas) = (new double[3], new double[3]);

        Assert.True(taken.Predict(taken.NewCircuit(), evaluation, means, sigmas, default));

        var model = _bench.Model("a");
        var spread = model.Slopes(FaultSet.Healthy, [])[0];
        var meter = _bench.Healthy.Meter.OwnSigma(_bench.RowsAt("a")[0], means[0]);
        var variance = Model.Dot(spread, spread) + meter * meter;
        // An error of 60 V beside a spread of a fraction of a volt.
        Assert.Equal(Math.Sqrt(variance), sigmas[0], 1e-4);
    }

    private static double[] Values(FaultSet set, double drifted) =>
        [.. set.Members.Select(m => m.Range.IsContinuous ? drifted : m.Range.Grid[0])];

    private void AssertPredicted(string[] nodes, double[] volts, FaultSet set, double[] values)
    {
        string[] candidates = ["a", "b", "c"];
        var table = Table(nodes, volts, out var predictor);
        var (means, sigmas) = (new double[3], new double[3]);

        Assert.True(
            table.Predict(
                table.NewCircuit(),
                Evaluation(set, values, predictor),
                means,
                sigmas,
                default
            )
        );

        var model = _bench.Model([.. nodes, .. candidates]);
        var expected = model.Volts(set, values)[nodes.Length..];
        var rows = Rows(model, set, values);
        for (var c = 0; c < candidates.Length; c++)
        {
            Assert.Equal(expected[c], means[c], 1e-3);
            var own = _bench.Healthy.Meter.OwnSigma(_bench.RowsAt(candidates[c])[0], means[c]);
            // The meter's own error of a reading taken is that of the selection.
            double OwnOf(int i) =>
                _bench.Healthy.Meter.OwnSigma(_bench.RowsAt(nodes[i])[0], volts[i]);
            var taken = Enumerable.Range(0, nodes.Length).ToArray();
            var joint = new Normal([
                .. taken.Select(i =>
                    taken
                        .Select(j =>
                            Model.Dot(rows[i], rows[j]) + (i == j ? OwnOf(i) * OwnOf(i) : 0)
                        )
                        .ToArray()
                ),
            ]);
            var mine = rows[nodes.Length + c];
            double[] with = [.. taken.Select(i => Model.Dot(rows[i], mine))];
            var variance = Model.Dot(mine, mine) - joint.Between(with, with) + own * own;
            Assert.Equal(Math.Sqrt(variance), sigmas[c], 0.01 * Math.Sqrt(variance));
        }
    }

    // Spreads, the meter's gain, and the free values as flat over their range.
    private double[][] Rows(Model model, FaultSet set, double[] values)
    {
        var terms = _bench.Healthy.Spread.Terms;
        var parts = set.Members.SelectMany(m => m.Parts).ToHashSet();
        var free = set
            .Members.Select((m, i) => (Member: m, Index: i))
            .Where(m => m.Member.Range.IsContinuous)
            .Select(m =>
                model
                    .SlopeOfValue(set, values, m.Index)
                    .Select(s => s * m.Member.Range.LogWidth / Math.Sqrt(12))
                    .ToArray()
            )
            .ToArray();
        return
        [
            .. model
                .Slopes(set, values)
                .Select(
                    (row, i) =>
                        (double[])
                            [
                                .. row.Select(
                                    (s, t) =>
                                        t < terms.Length && parts.Contains(terms[t].Name) ? 0 : s
                                ),
                                .. free.Select(f => f[i]),
                            ]
                ),
        ];
    }

    private OutcomeTable Table(string[] nodes, double[] volts, out Predictor predictor)
    {
        var selection = ReadingSelection.Of(
            nodes.Select(
                (node, i) =>
                    Assert.Single(
                        TypedReading
                            .Read(
                                FormattableString.Invariant($"{node} {volts[i]}"),
                                _bench.Amplifier
                            )
                            .Readings
                    )
            ),
            _bench.Healthy,
            default
        );
        Assert.Equal(nodes.Length, selection.Weighed.Length);
        predictor = new(selection.Groups, _bench.Healthy.Spread, _bench.Healthy.Meter);
        var normal = _bench.Healthy.Scenes.Normal;
        ReadingCandidate[] candidates =
        [
            .. _bench
                .RowsAt("a", "b", "c")
                .Select(row => new ReadingCandidate("", normal, row, Cost: 1)),
        ];
        return new(_bench.Healthy, selection, predictor, candidates, default);
    }

    private static Evaluation Evaluation(FaultSet set, double[] values, Predictor predictor) =>
        new()
        {
            Set = set,
            Values = [.. values],
            Converged = true,
            Amounts = [.. new double[predictor.Width]],
        };
}
